"""The tag of a bin, photographed on a phone that a browser plays, opens its bin."""

SCRIPT = "serve_tags.py"


def test_a_photo_of_a_tag_opens_its_bin(sight, tmp_path):
    tag = sight.page.request.get(f"{sight.url}/download/tag/QT-01.png")
    (tmp_path / "tag.png").write_bytes(tag.body())
    sight.open("/find")
    with sight.page.expect_file_chooser() as chooser:
        sight.button("Photograph the label").click()
    chooser.value.set_files(tmp_path / "tag.png")
    sight.page.wait_for_url("**/bins/QT-01")
