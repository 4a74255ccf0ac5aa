// What JupyterLab starts: one bar above the page, and one Lesson for the notebook that is shown.
import { makeBar } from './bar.js';
import { Lesson } from './lesson.js';

function readConfig() {
  const element = document.getElementById('jupyter-config-data');
  const data = JSON.parse(element.textContent);
  return { ...JSON.parse(data.lessonkit), baseUrl: data.baseUrl };
}

export function makePlugin({ notebook, apputils, widgets }) {
  return {
    id: 'lessonkit:lesson',
    description: 'Opens a lesson of the kit alive, if its code is the packaged code.',
    autoStart: true,
    requires: [notebook.INotebookTracker],
    activate: (app, tracker) => {
      const config = readConfig();
      const modules = { actions: notebook.NotebookActions, dialogs: apputils.Dialog };
      const bar = makeBar(app, config, widgets);
      const opened = new WeakSet();
      const open = panel => {
        if (!opened.has(panel)) {
          opened.add(panel);
          new Lesson(panel, modules, config, bar).open();
        }
      };
      tracker.forEach(open);
      tracker.widgetAdded.connect((sender, panel) => open(panel));
    }
  };
}
