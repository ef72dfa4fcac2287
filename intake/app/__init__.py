"""The app: Flet, declarative; screens show what the desk says and call one act per tap."""
