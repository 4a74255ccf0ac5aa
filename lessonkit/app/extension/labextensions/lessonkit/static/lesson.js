// One notebook as a lesson: looked at, run if it is trusted, run again after its kernel restarts.
import { lessonAddress } from './bar.js';
import { judge } from './trust.js';

const SELF_CHECK = 'nbval-check-output';
// A lesson whose kernel ends while it opens is not tried for ever.
const MOST_RESTARTS = 3;
const RESTARTS_COUNTED_MS = 60000;
const NOT_SAVED_SHOWN_MS = 6000;

const isCode = model => model.type === 'code';
const isSelfCheck = model => (model.getMetadata('tags') ?? []).includes(SELF_CHECK);

export class Lesson {
  constructor(panel, modules, config, bar) {
    Object.assign(this, { panel, modules, config, bar });
    this.words = config.words;
    this.restarts = [];
    this.restarting = false;
    this.hasRun = false;
  }

  async open() {
    this.bar.tell('opening', this.words.opening);
    await this.panel.context.ready;
    this.neverUnsaved();
    const verdict = this.judge();
    if (verdict !== 'trusted') {
      this.stayInert(verdict);
      return;
    }
    this.dress();
    await this.panel.sessionContext.ready;
    this.panel.sessionContext.statusChanged.connect((sender, status) => this.kernelChanged(status));
    this.bar.onRestart(() => this.startAgain());
    await this.run();
  }

  // The server refuses every save, so nothing may ask for one when the page is left. Only after
  // JupyterLab has taken note of a change can it be taken back.
  neverUnsaved() {
    const model = this.panel.context.model;
    const settle = () => queueMicrotask(() => model.dirty && (model.dirty = false));
    model.stateChanged.connect(settle);
    settle();
  }

  judge() {
    const cells = [...this.panel.content.model.cells].filter(isCode);
    const sources = cells.map(cell => cell.sharedModel.getSource());
    return judge(this.panel.context.path, sources, this.config.lessons);
  }

  stayInert(verdict) {
    this.bar.tell('inert', '');
    this.bar.frame(true);
    const notice = document.createElement('div');
    notice.className = 'lessonkit-notice';
    notice.setAttribute('role', 'alert');
    notice.textContent = this.words[verdict];
    this.panel.content.node.prepend(notice);
  }

  // Makes the notebook look and behave like a page instead of an editor.
  dress() {
    const { panel } = this;
    this.bar.frame(false);
    panel.addClass('lessonkit-lesson');
    panel.toolbar.hide();
    for (const cell of panel.content.widgets) {
      cell.toggleClass('lessonkit-self-check', isCode(cell.model) && isSelfCheck(cell.model));
    }
    // A key pressed on a slider must not cut or insert a cell.
    document.body.dataset.lmSuppressShortcuts = 'true';
    panel.node.addEventListener('contextmenu', event => event.stopPropagation());
    panel.node.addEventListener('dblclick', event => this.keepText(event), true);
    panel.node.addEventListener('click', event => this.follow(event), true);
    document.addEventListener('keydown', event => this.refuseSave(event), true);
  }

  // A double click selects a word; it does not open the text for editing.
  keepText(event) {
    if (event.target.closest('.jp-MarkdownCell')) {
      event.stopPropagation();
    }
  }

  // A link to another lesson leads there like any link, so that Back works.
  follow(event) {
    const link = event.target.closest('a[href]');
    if (!link || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) {
      return;
    }
    const address = new URL(link.href);
    const name = decodeURIComponent(address.pathname.split('/').pop());
    if (address.origin === location.origin && Object.hasOwn(this.config.lessons, name)) {
      event.preventDefault();
      event.stopPropagation();
      location.assign(lessonAddress(this.config, name) + address.hash);
    }
  }

  refuseSave(event) {
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 's') {
      event.preventDefault();
      event.stopPropagation();
      const state = document.body.dataset.lessonkit;
      this.bar.tell(state, this.words.not_saved);
      setTimeout(() => this.bar.tell(document.body.dataset.lessonkit, ''), NOT_SAVED_SHOWN_MS);
    }
  }

  async run() {
    const { panel } = this;
    const kernel = panel.sessionContext.session?.kernel;
    if (!kernel) {
      this.bar.tell('stopped', this.words.stopped);
      return;
    }
    await kernel.info;
    if (this.judge() !== 'trusted') {
      return;
    }
    let touched = false;
    const touch = () => (touched = true);
    const touches = ['wheel', 'pointerdown', 'keydown'];
    touches.forEach(name => panel.node.addEventListener(name, touch, { once: true, capture: true }));

    const notebook = panel.content;
    const cells = notebook.widgets.filter(cell => isCode(cell.model) && !isSelfCheck(cell.model));
    const good = await this.modules.actions.runCells(notebook, cells, panel.sessionContext);
    if (!touched) {
      this.showTop();
    }
    this.hasRun = true;
    this.holdTitle(this.config.titles[panel.context.path]);
    this.bar.tell(good ? 'live' : 'failed', good ? '' : this.words.failed);
  }

  /* JupyterLab writes the file's name into the title whenever it likes; a pilot reads the lesson's. */
  holdTitle(text) {
    document.title = text;
    this.titleWatch?.disconnect();
    this.titleWatch = new MutationObserver(() => {
      if (document.title !== text) {
        document.title = text;
      }
    });
    const title = document.querySelector('title');
    this.titleWatch.observe(title, { childList: true, characterData: true, subtree: true });
  }

  showTop() {
    const notebook = this.panel.content;
    notebook.deselectAll();
    notebook.activeCellIndex = 0;
    notebook.outerNode.scrollTop = 0;
  }

  async startAgain() {
    this.bar.tell('opening', this.words.restarting);
    const session = this.panel.sessionContext;
    this.restarts = [];
    if (session.session?.kernel) {
      await session.session.kernel.restart();
    } else {
      await session.startKernel();
      await this.run();
    }
  }

  kernelChanged(status) {
    if (status === 'restarting' || status === 'autorestarting') {
      this.restarting = true;
      this.bar.tell('opening', this.words.restarting);
      // JupyterLab announces a kernel that died in its own words and waits for a click.
      setTimeout(() => this.modules.dialogs.tracker.forEach(dialog => dialog.resolve()));
    } else if (status === 'starting' && this.hasRun && !this.restarting) {
      // Another window restarted the kernel. This window's connection leads to the old one, and
      // its widgets are gone with it: the page begins anew.
      location.reload();
    } else if (status === 'idle' && this.restarting) {
      this.restarting = false;
      this.runAfterRestart();
    } else if (status === 'dead') {
      this.restarting = false;
      this.bar.tell('stopped', this.words.stopped);
    }
  }

  runAfterRestart() {
    const now = Date.now();
    this.restarts = this.restarts.filter(time => now - time < RESTARTS_COUNTED_MS);
    if (this.restarts.length >= MOST_RESTARTS) {
      this.bar.tell('stopped', this.words.stopped);
      return;
    }
    this.restarts.push(now);
    this.run();
  }
}
