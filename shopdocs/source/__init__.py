"""From text to the model."""

import os

# Plugins of pydantic could change what a build may say, and to look for them among all that is installed takes time.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
