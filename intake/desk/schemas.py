"""The JSON Schemas of what the desk takes in; the copies in `shared/` are generated from these."""

from typing import Any

from intake.desk.campaign import Campaign
from intake.desk.sheet_columns import json_schema


def campaign_schema() -> dict[str, Any]:
    """JSON Schema of a campaign file, read as plain values."""
    schema = Campaign.model_json_schema()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "campaign.schema.json",
        **schema,
        "title": "Campaign file (TOML)",
    }


def sheet_schema() -> dict[str, Any]:
    """JSON Schema of one row of an intake sheet."""
    return json_schema()
