// Draws the moved items of a scene over its axes, and reports what the learner grabs.
// One model may have several views; what Python sent is kept once per model.

const SVG = "http://www.w3.org/2000/svg";
const HIT = 22; // half the size of a grabbed item's touch target, scene pixels
const ACK_LIMIT_MS = 2000; // a kernel that is busy or gone must not block the page for ever
const ANNOUNCE_MS = 600; // a screen reader hears the sentence after this much quiet

// Number of views made in this page, for unique ids. It belongs to the page: each picture may
// load this file anew, and two pictures with the same ids would cut each other off.
function nextView() {
  globalThis.lessonkitViews = (globalThis.lessonkitViews || 0) + 1;
  return globalThis.lessonkitViews;
}

function make(tag, attributes = {}, parent = null) {
  const element = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (parent) parent.appendChild(element);
  return element;
}

function div(className, parent) {
  const element = document.createElement("div");
  element.className = className;
  parent.appendChild(element);
  return element;
}

// Keys pressed here must not reach the notebook's shortcuts, where one letter inserts a cell.
// The mark counts only on the element that has the focus.
function keepKeys(node) {
  node.addEventListener("focusin", (event) => {
    event.target.setAttribute("data-lm-suppress-shortcuts", "true");
  });
}

// ---------------------------------------------------------------- places

class Axes {
  constructor(frame) {
    [this.left, this.top, this.width, this.height] = frame.box;
    [this.x0, this.x1] = frame.x;
    [this.y0, this.y1] = frame.y;
    this.name = frame.name;
  }
  px(x) { return this.left + ((x - this.x0) / (this.x1 - this.x0)) * this.width; }
  py(y) { return this.top + ((this.y1 - y) / (this.y1 - this.y0)) * this.height; }
  x(px) { return this.x0 + ((px - this.left) / this.width) * (this.x1 - this.x0); }
  y(py) { return this.y1 - ((py - this.top) / this.height) * (this.y1 - this.y0); }
  // One right or up arrow press moves as seen on the screen, also where an axis is turned round.
  get rightward() { return this.x1 > this.x0 ? 1 : -1; }
  get upward() { return this.y1 > this.y0 ? 1 : -1; }
}

const round = (value) => Math.round(value * 100) / 100;

function pathOf(axes, item, closed) {
  let path = "";
  let open = false;
  for (let i = 0; i < item.x.length; i++) {
    if (item.x[i] === null || item.y[i] === null) { open = false; continue; }
    path += `${open ? "L" : "M"}${round(axes.px(item.x[i]))} ${round(axes.py(item.y[i]))}`;
    open = true;
  }
  return closed && path ? path + "Z" : path;
}

// Marks as path pieces around a point; r is half their width.
const GLYPHS = {
  circle: (r) => `m${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`,
  square: (r) => `m${-r} ${-r}h${2 * r}v${2 * r}h${-2 * r}z`,
  diamond: (r) => `m0 ${-1.3 * r}l${1.3 * r} ${1.3 * r}l${-1.3 * r} ${1.3 * r}l${-1.3 * r} ${-1.3 * r}z`,
  triangle: (r) => `m0 ${-1.2 * r}l${1.2 * r} ${2.1 * r}h${-2.4 * r}z`,
  plus: (r) => `m${-r} 0h${2 * r}m${-r} ${-r}v${2 * r}`,
  cross: (r) => `m${-r} ${-r}l${2 * r} ${2 * r}m${-2 * r} 0l${2 * r} ${-2 * r}`,
  bar: (r) => `m0 ${-r}v${2 * r}`,
};

function marksOf(axes, item) {
  const glyph = GLYPHS[item.mark](item.size);
  let path = "";
  for (let i = 0; i < item.x.length; i++) {
    if (item.x[i] === null || item.y[i] === null) continue;
    path += `M${round(axes.px(item.x[i]))} ${round(axes.py(item.y[i]))}${glyph}`;
  }
  return path;
}

function arrowOf(axes, item) {
  const [ax, bx] = item.x.map((x) => axes.px(x));
  const [ay, by] = item.y.map((y) => axes.py(y));
  const length = Math.hypot(bx - ax, by - ay);
  if (!(length > 0.5)) return ["", ""];
  const [ux, uy] = [(bx - ax) / length, (by - ay) / length];
  const head = Math.min(length, 6 + 3 * item.width);
  const half = head * 0.42;
  const [nx, ny] = [bx - ux * head, by - uy * head];
  return [
    `M${round(ax)} ${round(ay)}L${round(nx)} ${round(ny)}`,
    `M${round(bx)} ${round(by)}L${round(nx - uy * half)} ${round(ny + ux * half)}` +
      `L${round(nx + uy * half)} ${round(ny - ux * half)}Z`,
  ];
}

// ---------------------------------------------------------------- items

// Each kind: create its parts once, then place them whenever the item changes.
const KINDS = {
  line: {
    parts: (g) => [make("path", { class: "lk-line" }, g)],
    place: ([path], axes, item) => path.setAttribute("d", pathOf(axes, item, false)),
  },
  points: {
    parts: (g) => [make("path", { class: "lk-mark" }, g)],
    place: ([path], axes, item) => path.setAttribute("d", marksOf(axes, item)),
  },
  area: {
    parts: (g) => [make("path", { class: "lk-area" }, g), make("path", { class: "lk-hatch" }, g)],
    place: ([path, hatch], axes, item, view) => {
      const d = pathOf(axes, item, true);
      path.setAttribute("d", d);
      path.style.fill = item.fill || "";
      path.classList.toggle("lk-solid", Boolean(item.fill));
      hatch.setAttribute("d", item.hatch ? d : "");
      hatch.setAttribute("fill", `url(#${view.prefix}hatch-${item.role})`);
    },
  },
  arrow: {
    parts: (g) => [make("path", { class: "lk-shaft" }, g), make("path", { class: "lk-head" }, g)],
    place: ([shaft, head], axes, item) => {
      const [line, tip] = arrowOf(axes, item);
      shaft.setAttribute("d", line);
      shaft.style.strokeWidth = item.width;
      head.setAttribute("d", tip);
    },
  },
  circle: {
    parts: (g) => [make("ellipse", { class: "lk-line" }, g)],
    place: ([ellipse], axes, item) => {
      const values = {
        cx: axes.px(item.x[0]), cy: axes.py(item.y[0]),
        rx: Math.abs(axes.px(item.x[0] + item.radius) - axes.px(item.x[0])),
        ry: Math.abs(axes.py(item.y[0] + item.radius) - axes.py(item.y[0])),
      };
      for (const [key, value] of Object.entries(values)) ellipse.setAttribute(key, round(value));
    },
  },
  vertical: {
    parts: (g) => [make("path", { class: "lk-line" }, g)],
    place: ([path], axes, item) =>
      path.setAttribute("d", `M${round(axes.px(item.x[0]))} ${axes.top}v${axes.height}`),
  },
  horizontal: {
    parts: (g) => [make("path", { class: "lk-line" }, g)],
    place: ([path], axes, item) =>
      path.setAttribute("d", `M${axes.left} ${round(axes.py(item.y[0]))}h${axes.width}`),
  },
  label: {
    parts: (g) => [make("text", { class: "lk-label" }, g)],
    place: ([text], axes, item, view) => {
      if (text.textContent !== item.text) text.textContent = item.text;
      text.classList.toggle("lk-strong", item.strong);
      // Keep the text inside the picture: about 0.56 em a character, as wide as it may get.
      const wide = item.text.length * 0.56 * 13 * view.textScale();
      const before = { start: 0, middle: 0.5, end: 1 }[item.anchor] * wide;
      let x = axes.px(item.x[0]) + item.dx;
      x = Math.max(before + 2, Math.min(view.width - (wide - before) - 2, x));
      text.setAttribute("x", round(x));
      text.setAttribute("y", round(axes.py(item.y[0]) + item.dy));
      text.setAttribute("text-anchor", item.anchor);
    },
  },
};

// ---------------------------------------------------------------- grabbing

// Sends one grab event at a time: the next move waits until Python has drawn the last one, and
// only the newest move waits. The end of a move is never dropped.
class GrabQueue {
  constructor(model) {
    this.model = model;
    this.waiting = [];
    this.count = model.get("grabbed").n || 0;
    this.open = 0;
    model.on("change:grab_done", () => {
      if (this.open && model.get("grab_done") >= this.open) this.free();
    });
  }
  add(event) {
    this.waiting = this.waiting.filter((e) => e.name !== event.name || e.phase === "end");
    this.waiting.push(event);
    this.send();
  }
  send() {
    if (this.open || !this.waiting.length) return;
    this.open = ++this.count;
    this.current = this.waiting.shift();
    this.model.set("grabbed", { ...this.current, n: this.open });
    this.model.save_changes();
    this.timer = setTimeout(() => this.free(), ACK_LIMIT_MS);
  }
  // The point last asked for, while Python has not answered yet.
  asked(name) {
    const later = this.waiting.filter((e) => e.name === name).pop();
    return later || (this.open && this.current.name === name ? this.current : null);
  }
  free() {
    clearTimeout(this.timer);
    this.open = 0;
    this.send();
  }
}

class Handle {
  constructor(view, group) {
    this.view = view;
    this.group = group;
    this.dragging = null;
    group.classList.add("lk-grab");
    this.halo = make("g", { class: "lk-halo" });
    group.insertBefore(this.halo, group.firstChild);
    this.hit = make("path", { class: "lk-hit" }, group);
    this.ring = make("circle", { class: "lk-ring", r: 19 }, group);
    this.hint = make("path", { class: "lk-hint" }, this.halo);
    this.disc = make("circle", { class: "lk-disc", r: 11 }, this.halo);
    group.addEventListener("pointerdown", (e) => this.start(e));
    // A finger on the item moves it; anywhere else on the picture it scrolls the page.
    group.addEventListener("touchstart", (e) => { if (!this.view.locked) e.preventDefault(); }, { passive: false });
    group.addEventListener("pointermove", (e) => this.move(e));
    group.addEventListener("pointerup", (e) => this.end(e));
    group.addEventListener("pointercancel", (e) => this.end(e));
    group.addEventListener("keydown", (e) => this.press(e));
    group.addEventListener("keyup", (e) => this.release(e));
    group.addEventListener("blur", () => this.finishKeys());
  }

  place(axes, item) {
    this.axes = axes;
    this.item = item;
    const { kind, grab } = item;
    const free = { x: kind !== "horizontal" && grab.along !== "y", y: kind !== "vertical" && grab.along !== "x" };
    this.free = free;
    const x = kind === "horizontal" ? axes.left + axes.width / 2 : axes.px(item.x[0]);
    const y = kind === "vertical" ? axes.top + axes.height / 2 : axes.py(item.y[0]);
    this.halo.setAttribute("transform", `translate(${round(x)} ${round(y)})`);
    this.ring.setAttribute("cx", round(x));
    this.ring.setAttribute("cy", round(y));
    const line = kind === "vertical" || kind === "horizontal";
    this.hit.setAttribute("d", line
      ? this.group.querySelector(".lk-line").getAttribute("d")
      : `M${round(x - HIT)} ${round(y - HIT)}h${2 * HIT}v${2 * HIT}h${-2 * HIT}z`);
    this.hit.classList.toggle("lk-along", line);
    this.hint.setAttribute("d",
      (free.x ? "M15 -5l6 5l-6 5zM-15 -5l-6 5l6 5z" : "") +
      (free.y ? "M-5 -15l5 -6l5 6zM-5 15l5 6l5 -6z" : ""));
    this.describe(grab, free);
  }

  describe(grab, free) {
    const group = this.group;
    const set = (key, value) => {
      if (value === null || value === undefined || value === "") group.removeAttribute(key);
      else if (group.getAttribute(key) !== String(value)) group.setAttribute(key, value);
    };
    const value = free.x ? this.item.x[0] : this.item.y[0];
    const locked = this.view.locked;
    set("role", "slider");
    set("tabindex", locked ? "-1" : "0");
    set("aria-disabled", locked ? "true" : null);
    set("aria-label", grab.label);
    set("aria-orientation", free.x ? "horizontal" : "vertical");
    set("aria-roledescription", free.x && free.y ? "movable point" : null);
    set("aria-valuenow", value);
    set("aria-valuemin", grab.low);
    set("aria-valuemax", grab.high);
    set("aria-valuetext", grab.text || null);
  }

  wanted(px, py) {
    return {
      x: this.free.x ? this.axes.x(px) : this.item.x[0],
      y: this.free.y ? this.axes.y(py) : this.item.y[0],
    };
  }

  post(point, phase) {
    this.view.queue.add({ name: this.item.grab.name, ...point, phase });
  }

  start(event) {
    if (this.view.locked || event.button > 0) return;
    event.preventDefault();
    event.stopPropagation();
    this.group.focus({ preventScroll: true });
    this.group.setPointerCapture(event.pointerId);
    const at = this.view.scenePoint(event);
    // Where on the item it was taken: it must not jump under the pointer.
    this.dragging = {
      id: event.pointerId,
      dx: this.axes.px(this.item.x[0]) - at.x,
      dy: this.axes.py(this.item.y[0]) - at.y,
      last: null,
    };
    this.group.classList.add("lk-held");
  }
  move(event) {
    if (!this.dragging || event.pointerId !== this.dragging.id) return;
    const at = this.view.scenePoint(event);
    this.dragging.last = this.wanted(at.x + this.dragging.dx, at.y + this.dragging.dy);
    this.post(this.dragging.last, "move");
  }
  end(event) {
    if (!this.dragging || event.pointerId !== this.dragging.id) return;
    const last = this.dragging.last;
    this.dragging = null;
    this.group.classList.remove("lk-held");
    if (last) this.post(last, "end");
  }

  press(event) {
    if (this.view.locked || event.ctrlKey || event.metaKey || event.altKey) return;
    const [sx, sy] = this.item.grab.step;
    const times = event.shiftKey ? 10 : 1;
    const { axes, free } = this;
    let [mx, my] = [0, 0];
    if (event.key === "ArrowRight") mx = 1;
    else if (event.key === "ArrowLeft") mx = -1;
    else if (event.key === "ArrowUp") my = 1;
    else if (event.key === "ArrowDown") my = -1;
    else if (event.key === "PageUp") free.y ? (my = 10) : (mx = 10);
    else if (event.key === "PageDown") free.y ? (my = -10) : (mx = -10);
    else if (event.key !== "Home" && event.key !== "End") return;
    event.preventDefault();
    event.stopPropagation();
    // Keys typed faster than the answer comes back add up from the last wanted point.
    const from = this.typed || this.view.queue.asked(this.item.grab.name);
    const point = from ? { x: from.x, y: from.y } : { x: this.item.x[0], y: this.item.y[0] };
    if (event.key === "Home" || event.key === "End") {
      const edge = event.key === "Home" ? this.item.grab.low : this.item.grab.high;
      if (edge === null) return;
      if (free.x) point.x = edge; else point.y = edge;
    } else {
      // A slider along one direction obeys both pairs of arrows, as sliders do.
      if (!free.y && !mx) mx = my;
      if (!free.x && !my) my = mx;
      if (free.x) point.x += mx * sx * times * axes.rightward;
      if (free.y) point.y += my * sy * times * axes.upward;
    }
    this.typed = this.within(point);
    this.post(this.typed, "move");
  }
  within(point) {
    const { low, high } = this.item.grab;
    const key = this.free.x ? "x" : "y";
    if (this.free.x && this.free.y) return point;
    if (low !== null) point[key] = Math.max(low, point[key]);
    if (high !== null) point[key] = Math.min(high, point[key]);
    return point;
  }
  release(event) {
    if (this.typed && /^(Arrow|Page|Home|End)/.test(event.key)) this.finishKeys();
  }
  finishKeys() {
    if (!this.typed) return;
    this.post(this.typed, "end");
    this.typed = null;
  }
}

// ---------------------------------------------------------------- one view

class View {
  constructor(model, el, store) {
    this.model = model;
    this.el = el;
    this.store = store;
    this.prefix = `lk${nextView()}-`;
    this.parts = new Map();
    el.classList.add("lk-scene");
    keepKeys(el);
    this.picture = div("lk-picture", el);
    this.sentence = div("lk-sentence", el);
    this.sentence.setAttribute("aria-hidden", "true");
    this.spoken = div("lk-spoken", el);
    this.spoken.setAttribute("role", "status");
    this.spoken.setAttribute("aria-live", "polite");
    this.build();
    // The panel around the picture exists only after the page has put both together.
    this.attach = requestAnimationFrame(() => this.findPanel());
  }

  get queue() { return this.store.queue; }
  get locked() { return this.store.texts.locked; }
  textScale() { return this.store.texts.large ? this.largeScale : 1; }

  build() {
    const frame = this.model.get("frame");
    [this.width, this.height] = [frame.width, frame.height];
    this.picture.replaceChildren();
    this.parts.clear();
    this.svg = make("svg", {
      viewBox: `0 0 ${this.width} ${this.height}`, role: "group", class: "lk-svg",
      preserveAspectRatio: "xMidYMid meet",
    });
    this.svg.style.aspectRatio = `${this.width} / ${this.height}`;
    this.el.style.setProperty("--lk-ratio", this.width / this.height);
    this.title = make("g", { role: "img" }, this.svg);
    this.title.appendChild(this.background());
    this.defs = make("defs", {}, this.svg);
    this.axes = new Map();
    for (const one of frame.axes) {
      const axes = new Axes(one);
      this.axes.set(one.name, axes);
      const clip = make("clipPath", { id: `${this.prefix}clip-${one.name}` }, this.defs);
      make("rect", { x: axes.left, y: axes.top - 3, width: axes.width + 3, height: axes.height + 6 }, clip);
    }
    for (const role of ["main", "reference", "limit", "good", "warn", "muted", "ink"]) this.hatch(role);
    this.layers = { under: make("g", {}, this.svg), text: make("g", {}, this.svg), over: make("g", {}, this.svg) };
    this.picture.appendChild(this.svg);
    this.largeScale = parseFloat(getComputedStyle(this.el).getPropertyValue("--lk-large-scale")) || 1.45;
    for (const [name, item] of this.store.items) this.draw(name, item);
    this.tell(this.store.texts);
  }

  background() {
    // Ids are made unique to this view, or the axes of another scene would be used.
    const text = this.model.get("background")
      .replace(/ id="/g, ` id="${this.prefix}`)
      .replace(/url\(#/g, `url(#${this.prefix}`)
      .replace(/href="#/g, `href="#${this.prefix}`);
    const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
    const looks = { width: this.width, height: this.height, "aria-hidden": "true" };
    for (const [name, value] of Object.entries(looks)) root.setAttribute(name, value);
    return document.importNode(root, true);
  }

  hatch(role) {
    const pattern = make("pattern", {
      id: `${this.prefix}hatch-${role}`, width: 9, height: 9, patternUnits: "userSpaceOnUse",
      patternTransform: `rotate(${role === "warn" ? 45 : -45})`,
    }, this.defs);
    const bar = make("rect", { width: 1.6, height: 9 }, pattern);
    bar.style.fill = `var(--lk-${role})`;
  }

  draw(name, item) {
    const axes = this.axes.get(item.axes);
    if (!axes) return;
    let part = this.parts.get(name);
    if (part && (part.kind !== item.kind || part.axes !== item.axes || Boolean(part.handle) !== Boolean(item.grab))) {
      this.erase(name);
      part = null;
    }
    if (!part) {
      const layer = item.grab ? "over" : item.kind === "label" ? "text" : "under";
      const group = make("g", { "data-name": name }, this.layers[layer]);
      const inner = item.grab ? make("g", {}, group) : group;
      if (item.kind !== "label" && !item.grab) group.setAttribute("clip-path", `url(#${this.prefix}clip-${item.axes})`);
      part = { kind: item.kind, axes: item.axes, group, pieces: KINDS[item.kind].parts(inner) };
      if (item.grab) part.handle = new Handle(this, group);
      this.parts.set(name, part);
    }
    if (part.role !== item.role) {
      if (part.role) part.group.classList.remove(`lk-r-${part.role}`);
      part.group.classList.add(`lk-r-${item.role}`);
      part.role = item.role;
    }
    KINDS[item.kind].place(part.pieces, axes, item, this);
    if (part.handle) part.handle.place(axes, item);
  }

  erase(name) {
    const part = this.parts.get(name);
    if (part) part.group.remove();
    this.parts.delete(name);
  }

  apply(change) {
    for (const name of change.gone || []) this.erase(name);
    for (const [name, item] of Object.entries(change.set || {})) this.draw(name, item);
    this.tell(change);
  }

  tell(texts) {
    if ("large" in texts) {
      this.el.classList.toggle("lk-large", texts.large);
      for (const [name, item] of this.store.items) if (item.kind === "label") this.draw(name, item);
    }
    if ("stale" in texts) this.el.classList.toggle("lk-stale", texts.stale);
    if ("locked" in texts) {
      this.el.classList.toggle("lk-locked", texts.locked);
      for (const [name, item] of this.store.items) if (item.grab) this.draw(name, item);
    }
    if ("names" in texts) this.nameControls();
    if ("sentence" in texts || "alt" in texts) {
      const { alt, sentence } = this.store.texts;
      if (this.sentence.textContent !== sentence) this.sentence.textContent = sentence;
      const whole = [alt, sentence].filter(Boolean).join(" ");
      this.title.setAttribute("aria-label", whole);
      this.svg.setAttribute("aria-label", alt || sentence);
      clearTimeout(this.announce);
      this.announce = setTimeout(() => { this.spoken.textContent = sentence; }, ANNOUNCE_MS);
    }
  }

  scenePoint(event) {
    const point = new DOMPoint(event.clientX, event.clientY);
    return point.matrixTransform(this.svg.getScreenCTM().inverse());
  }

  // ------------------------------------------------------------ the panel around the picture

  // ipywidgets sets no accessible names and lets keys through to the notebook's shortcuts.
  findPanel() {
    this.panel = this.el.closest(".lk-panel");
    if (!this.panel) return;
    keepKeys(this.panel);
    this.watch = new MutationObserver((changes) => {
      // What moves in the picture itself brings no new control.
      if (changes.every((change) => this.el.contains(change.target))) return;
      if (!this.naming) this.naming = requestAnimationFrame(() => { this.naming = 0; this.nameControls(); });
    });
    this.watch.observe(this.panel, { childList: true, subtree: true });
    this.nameControls();
  }

  nameControls() {
    if (!this.panel) return;
    for (const [css, name] of Object.entries(this.store.texts.names || {})) {
      for (const box of this.panel.querySelectorAll(`.${css}`)) {
        const own = box.matches("input, select") ? [box] : [];
        const inner = box.querySelectorAll("input, select, .noUi-handle, .widget-toggle-buttons");
        for (const element of [...own, ...inner]) element.setAttribute("aria-label", name);
        if (box.classList.contains("widget-toggle-buttons")) {
          box.setAttribute("role", "group");
          box.setAttribute("aria-label", name);
        }
      }
    }
    for (const button of this.panel.querySelectorAll(".widget-toggle-button")) {
      button.setAttribute("aria-pressed", button.classList.contains("mod-active"));
    }
    for (const line of this.panel.querySelectorAll(".lk-alert")) line.setAttribute("role", "alert");
  }

  close() {
    cancelAnimationFrame(this.attach);
    clearTimeout(this.announce);
    if (this.watch) this.watch.disconnect();
  }
}

// ---------------------------------------------------------------- one model

export default () => {
  const store = { n: 0, items: new Map(), texts: {}, queue: null };
  const views = new Set();

  function load(model) {
    const { n = 0, items = {}, ...texts } = model.get("shown");
    Object.assign(store, { n, items: new Map(Object.entries(items)), texts });
  }

  function initialize({ model }) {
    load(model);
    store.queue = new GrabQueue(model);
    // Changes that came before this script was there are missing: ask for the whole state.
    const catchUp = () => { try { model.send({ ask: "shown" }); } catch (gone) { /* the kernel starts again */ } };
    const moved = () => {
      const { n, set = {}, gone = [], ...changed } = model.get("moved");
      if (n <= store.n) return;
      if (n !== store.n + 1) { catchUp(); return; }
      store.n = n;
      for (const name of gone) store.items.delete(name);
      for (const [name, item] of Object.entries(set)) store.items.set(name, item);
      Object.assign(store.texts, changed);
      for (const view of views) view.apply({ set, gone, ...changed });
    };
    const rebuilt = () => { for (const view of views) view.build(); };
    const reloaded = () => { load(model); rebuilt(); };
    model.on("change:moved", moved);
    model.on("change:shown", reloaded);
    model.on("change:background", rebuilt);
    if ((model.get("moved").n || 0) > store.n) catchUp();
    return () => {
      model.off("change:moved", moved);
      model.off("change:shown", reloaded);
      model.off("change:background", rebuilt);
    };
  }

  function render({ model, el }) {
    const view = new View(model, el, store);
    views.add(view);
    return () => { views.delete(view); view.close(); };
  }

  return { initialize, render };
};
