// The bar above a lesson: the way to the other lessons, what the lesson is doing, light or dark.

const THEMES = { light: 'JupyterLab Light', dark: 'JupyterLab Dark' };

function button(text, title, press) {
  const element = document.createElement('button');
  element.type = 'button';
  element.textContent = text;
  element.title = title;
  element.addEventListener('click', press);
  return element;
}

// Parts of JupyterLab's frame that a lesson does not need.
function frameParts(app) {
  const parts = [...app.shell.layout];
  const middle = parts.find(part => part.id === 'jp-main-content-panel');
  return [
    ...parts.filter(part => ['jp-top-panel', 'jp-menu-panel', 'jp-bottom-panel'].includes(part.id)),
    ...[...(middle?.layout ?? [])].filter(part => part.hasClass('jp-SideBar'))
  ];
}

export function lessonAddress(config, path) {
  return config.baseUrl + 'doc/tree/' + path.split('/').map(encodeURIComponent).join('/');
}

export function makeBar(app, config, widgets) {
  const words = config.words;
  const node = document.createElement('nav');
  node.id = 'lessonkit-bar';
  const start = document.createElement('a');
  start.textContent = words.start;
  start.href = lessonAddress(config, config.start);
  const status = document.createElement('span');
  status.className = 'lessonkit-status';
  status.setAttribute('role', 'status');

  const isDark = () => document.body.dataset.jpThemeLight === 'false';
  const theme = button(words.dark, '', () =>
    app.commands.execute('apputils:change-theme', { theme: isDark() ? THEMES.light : THEMES.dark })
  );
  const showTheme = () => (theme.textContent = isDark() ? words.light : words.dark);
  new MutationObserver(showTheme).observe(document.body, { attributeFilter: ['data-jp-theme-light'] });

  let restart = () => {};
  const again = button(words.again, words.again_title, () => restart());
  const more = button(words.more, words.more_title, () => frame(more.ariaPressed !== 'true'));

  const frame = shown => {
    more.ariaPressed = String(shown);
    frameParts(app).forEach(part => part.setHidden(!shown));
    document.body.classList.toggle('lessonkit-frame', shown);
  };

  node.append(start, status, again, theme, more);
  const widget = new widgets.Widget({ node });
  widget.id = 'lessonkit-bar';
  app.shell.add(widget, 'header', { rank: 0 });
  app.restored.then(showTheme);

  return {
    frame,
    onRestart: action => (restart = action),
    // `state` is also what tests and style rules read.
    tell: (state, text) => {
      document.body.dataset.lessonkit = state;
      status.textContent = text;
      again.hidden = state === 'inert';
    }
  };
}
