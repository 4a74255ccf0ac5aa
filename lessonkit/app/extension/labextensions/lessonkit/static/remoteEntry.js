// Registers the extension with JupyterLab. Written by hand in the form of a prebuilt extension,
// so that nothing has to be built or fetched: JupyterLab loads this file as a plain script,
// hands over the modules that it shares, and asks for './extension'.
(() => {
  const here = document.currentScript.src;
  let shared = {};

  // Returns a module that JupyterLab itself uses; the same object, so that tokens match.
  const sharedModule = async name => {
    const versions = Object.values(shared[name] ?? {});
    if (versions.length === 0) {
      throw new Error(`JupyterLab does not share ${name}`);
    }
    const factory = await (versions.find(version => version.loaded) ?? versions[0]).get();
    return factory();
  };

  // The bar is measured when it is put in, so its style has to be there before.
  const style = address =>
    new Promise((resolve, reject) => {
      const link = document.createElement('link');
      Object.assign(link, { rel: 'stylesheet', href: address, onload: resolve, onerror: reject });
      document.head.append(link);
    });

  const extension = async () => {
    const [notebook, apputils, widgets, plugin] = await Promise.all([
      sharedModule('@jupyterlab/notebook'),
      sharedModule('@jupyterlab/apputils'),
      sharedModule('@lumino/widgets'),
      import(new URL('plugin.js', here).href),
      style(new URL('lesson.css', here).href)
    ]);
    return plugin.makePlugin({ notebook, apputils, widgets });
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB.lessonkit = {
    init: scope => {
      shared = scope;
    },
    get: async () => {
      const module = { __esModule: true, default: await extension() };
      return () => module;
    }
  };
})();
