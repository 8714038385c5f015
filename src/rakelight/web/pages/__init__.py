"""The pages: every module here has `register(app)` and is found by itself."""
