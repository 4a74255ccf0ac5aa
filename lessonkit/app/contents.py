"""The lessons folder as the server shows it: to be read, never written."""

from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager
from tornado import web

from lessonkit.words import say


class LessonContents(AsyncLargeFileManager):
    """Serves the lessons and refuses every change with one sentence."""

    def is_writable(self, path):
        """Tell the page that nothing here can be written."""
        return False

    async def get(self, path, content=True, type=None, format=None, require_hash=False):
        """Return a lesson without stored widgets: a file's own scripts must not start by it."""
        model = await super().get(path, content, type, format, require_hash)
        if model["type"] == "notebook" and model.get("content") is not None:
            model["content"]["metadata"].pop("widgets", None)
        return model

    async def _refuse(self, *arguments, **named):
        raise web.HTTPError(403, say("app.serve.read_only"))

    save = new = new_untitled = update = rename = rename_file = _refuse
    delete = delete_file = copy = trust_notebook = _refuse
    create_checkpoint = restore_checkpoint = delete_checkpoint = _refuse
