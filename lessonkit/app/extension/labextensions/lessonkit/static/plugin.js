// What JupyterLab starts: one bar above the page, and one Lesson for the notebook that is shown.
import { makeBar } from './bar.js';
import { Lesson } from './lesson.js';

function readConfig() {
  const element = document.getElementById('jupyter-config-data');
  const data = JSON.parse(element.textContent);
  return { ...JSON.parse(data.lessonkit), baseUrl: data.baseUrl };
}

// Letters typed outside of a code cell belong to the lesson's panels. Without this a letter in a list
// of choices reaches the notebook's shortcuts: two zeros ask to restart, x cuts the cell away.
// The mark has to be on the element that has the focus: on one around it, it comes too late.
function keepShortcutsOut(node) {
  node.addEventListener('focusin', event => {
    if (!event.target.closest('.cm-editor')) {
      event.target.setAttribute('data-lm-suppress-shortcuts', 'true');
    }
  });
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
          keepShortcutsOut(panel.node);
          new Lesson(panel, modules, config, bar).open();
        }
      };
      tracker.forEach(open);
      tracker.widgetAdded.connect((sender, panel) => open(panel));
    }
  };
}
