// The area that takes keys, sliders and pads. It reports what the learner does and shows what
// Python says; what it means, which axis moves what, and every sentence are decided in Python.

const POLL_MS = 20; // 50 looks a second at the axes while a device is plugged in
const LOOK_MS = 500; // and two a second for a device to appear
const AXIS_STEP = 0.004; // smaller moves of an axis are its trembling
const OWN_HAND_MS = 400; // a slider just moved here is not moved back by an older report
const CLOSED_MS = 300; // a page that only lays itself out anew has a view again by then
const STORE = "lessonkit-hands";
const KEPT = "lessonkit-hands-kept";
const PARTS = ["pad", "index", "axis", "centre", "reversed", "dead_band"];
// What scrolls a page, and would take the picture out of sight in a run.
const SCROLLS = ["Home", "End", "PageUp", "PageDown", "ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"];
const ARROWS = { ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓" };

function add(tag, className, parent, text = "") {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text) element.textContent = text;
  parent.appendChild(element);
  return element;
}

// Keys pressed here must not reach the notebook's shortcuts, where one letter inserts a cell.
function ownKeys(element) {
  element.setAttribute("data-lm-suppress-shortcuts", "true");
  return element;
}

function button(parent, text, onClick) {
  const element = ownKeys(add("button", "lk-hand-button", parent, text));
  element.type = "button";
  element.addEventListener("click", onClick);
  return element;
}

// While the kernel starts again nobody listens, and a send raises: what it told is out of date by then.
function send(model, message) {
  try { model.send(message); } catch (gone) { /* nobody is there to be told */ }
}

const filled = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]);

// ---------------------------------------------------------------- pads

// Looks at the devices; sends which there are, and the axes that Python listens to.
class Pads {
  constructor(model) {
    this.model = model;
    this.present = null;
    this.sent = {};
    this.count = model.get("axes_now").n || 0;
    this.run();
  }

  devices() {
    try {
      return [...(navigator.getGamepads ? navigator.getGamepads() : [])].filter(Boolean);
    } catch (refused) {
      return []; // a page may be forbidden to see devices: then there are none
    }
  }

  run() {
    const devices = this.devices();
    this.look(devices);
    this.timer = setTimeout(() => this.run(), devices.length ? POLL_MS : LOOK_MS);
  }

  look(devices) {
    const present = {};
    for (const device of devices) present[device.index] = device.id;
    const named = JSON.stringify(present);
    if (named !== this.present) {
      this.present = named;
      send(this.model, { event: "pads", present });
    }
    const listen = this.model.get("listen");
    const axes = {};
    let changed = listen !== this.listen; // what was not listened to is told at once
    if (changed) this.sent = {};
    this.listen = listen;
    for (const device of devices) {
      if (listen && !listen.includes(device.index)) continue;
      const places = [...device.axes].map((place) => Math.round(place * 1000) / 1000);
      const before = this.sent[device.index];
      const moved = !before || before.name !== device.id || before.axes.length !== places.length ||
        places.some((place, axis) => Math.abs(place - before.axes[axis]) >= AXIS_STEP);
      if (moved) changed = true;
      axes[device.index] = moved ? { name: device.id, axes: places } : before;
    }
    this.sent = axes;
    if (!changed) return;
    this.count += 1;
    this.model.set("axes_now", { n: this.count, devices: axes });
    this.model.save_changes();
  }

  stop() { clearTimeout(this.timer); }
}

// What the page keeps of the assignments; without storage they last as long as the page.
function stored() {
  try { return JSON.parse(localStorage.getItem(STORE)) || {}; } catch (unreadable) { return {}; }
}

// An area keeps what it has of its own controls, and tells the other areas of the page.
function keep(model) {
  const before = stored();
  const after = { ...before };
  for (const { key } of model.get("setup").controls) delete after[key];
  Object.assign(after, model.get("kept"));
  const [was, is] = [before, after].map((one) => JSON.stringify(one, [...Object.keys(one).sort(), ...PARTS]));
  if (was === is) return;
  try { localStorage.setItem(STORE, is); } catch (full) { return; }
  document.dispatchEvent(new CustomEvent(KEPT, { detail: model }));
}

// ---------------------------------------------------------------- one view

class View {
  constructor(model, el) {
    this.model = model;
    this.el = el;
    this.held = new Set(); // physical keys
    this.setup = model.get("setup");
    this.texts = this.setup.texts;
    this.rows = new Map();
    el.classList.add("lk-block", "lk-hands");
    this.top = add("div", "lk-hand-top", el);
    this.area();
    this.sliders();
    this.foot = add("div", "lk-hand-foot", el);
    this.desk();
    this.note = add("p", "lk-hand-note", this.foot);
    this.note.setAttribute("role", "status");
    this.leaving = new AbortController();
    const heard = { signal: this.leaving.signal };
    window.addEventListener("blur", () => this.letGo(), heard);
    window.addEventListener("pagehide", () => this.send({ event: "closed" }), heard);
    document.addEventListener("visibilitychange", () => {
      this.letGo();
      this.send({ event: "hidden", on: document.hidden });
    }, heard);
    this.offered();
    this.tell();
    this.showDesk();
    this.state();
    this.printedKeys();
  }

  send(message) { send(this.model, message); }

  // ------------------------------------------------------------ keys

  area() {
    this.box = ownKeys(add("div", "lk-hand-area", this.top));
    this.box.tabIndex = 0;
    this.box.setAttribute("role", "application");
    this.box.setAttribute("aria-label", this.texts.name);
    // Both sentences lie on one place, and one is seen: nothing moves when the keys come and go.
    this.says = add("p", "lk-hand-state", this.box);
    add("span", "lk-hand-with", this.says, this.texts.has_keys);
    add("span", "lk-hand-without", this.says, this.texts.no_keys);
    this.caps = add("p", "lk-hand-keys", this.box);
    add("p", "lk-hand-leave", this.box, this.texts.leave);
    this.box.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      event.stopPropagation();
      this.box.focus({ preventScroll: true });
    });
    // The notebook takes the focus for its cell when the mouse goes down on it.
    this.box.addEventListener("mousedown", (event) => event.stopPropagation());
    this.box.addEventListener("focus", () => { this.send({ event: "focus", on: true }); this.state(); });
    this.box.addEventListener("blur", (event) => this.left(event.relatedTarget));
    this.box.addEventListener("keydown", (event) => this.down(event));
    this.box.addEventListener("keyup", (event) => this.up(event));
  }

  // On a slider, or where a device is assigned, one flies on; elsewhere the keys have gone astray.
  left(to) {
    this.letGo();
    this.send({ event: "focus", on: false, near: Boolean(to && this.el.contains(to) && to !== this.centre) });
    this.state();
  }

  drawCaps() {
    this.caps.replaceChildren();
    this.capOf = {};
    this.keyOf = {};
    const flown = this.model.get("flown");
    for (const control of this.setup.controls) {
      if (!flown.includes(control.key)) continue;
      const group = add("span", "lk-hand-group", this.caps);
      add("span", "", group, control.name);
      for (const way of ["-", "+"]) {
        const code = control.codes[way];
        this.keyOf[code] = control.key + way;
        const cap = add("kbd", "lk-hand-cap", group, this.printed(code));
        cap.title = way === "-" ? control.less : control.more;
        add("span", "lk-hand-way", group, cap.title);
        this.capOf[code] = cap;
      }
    }
  }

  printed(code) {
    if (ARROWS[code]) return ARROWS[code];
    return (this.layout && this.layout.get(code) || code.replace(/^Key/, "")).toUpperCase();
  }

  // What is printed on a key differs from country to country; not every browser tells.
  async printedKeys() {
    if (!navigator.keyboard || !navigator.keyboard.getLayoutMap) return;
    try { this.layout = await navigator.keyboard.getLayoutMap(); } catch (refused) { return; }
    this.drawCaps();
    this.state();
  }

  down(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) { this.letGo(); return; }
    if (event.key === "Escape") {
      event.preventDefault();
      event.stopPropagation();
      this.centre.focus({ preventScroll: true }); // not to the notebook, where letters are commands
      return;
    }
    if (!this.keyOf[event.code]) {
      const scrolls = event.key === " " || this.model.get("running") && SCROLLS.includes(event.key);
      if (scrolls) event.preventDefault();
      return;
    }
    event.preventDefault();
    event.stopPropagation();
    if (event.repeat || this.held.has(event.code)) return;
    this.held.add(event.code);
    this.learnPrinted(event);
    this.sendHeld(true);
  }

  up(event) {
    // A system key can hide that another one was let go.
    if (event.key === "Meta" || event.key === "Control" || event.key === "Alt") this.letGo();
    if (this.held.delete(event.code)) this.sendHeld(true);
  }

  learnPrinted(event) {
    if (this.layout || event.key.length !== 1) return;
    this.capOf[event.code].textContent = event.key.toUpperCase();
  }

  letGo() {
    if (!this.held.size) return;
    this.held.clear();
    this.sendHeld(false);
  }

  sendHeld(touched) {
    const held = [...this.held].map((code) => this.keyOf[code]).filter(Boolean);
    for (const [code, cap] of Object.entries(this.capOf)) cap.classList.toggle("lk-down", this.held.has(code));
    this.send({ event: "held", held, touched });
  }

  state() {
    const has = document.hasFocus() && document.activeElement === this.box;
    this.box.classList.toggle("lk-has-keys", has);
  }

  // ------------------------------------------------------------ sliders

  sliders() {
    const box = add("div", "lk-hand-rows", this.top);
    for (const control of this.setup.controls) {
      const row = add("div", "lk-hand-row", box);
      add("span", "lk-hand-name", row, control.name);
      add("span", "lk-hand-end", row, control.less);
      const slider = ownKeys(add("input", "lk-hand-slider", row));
      Object.assign(slider, { type: "range", min: control.low * 100, max: 100, step: 1, value: 0 });
      slider.classList.toggle("lk-centred", control.low < 0);
      slider.setAttribute("aria-label", `${control.name}, ${control.less} – ${control.more}`);
      add("span", "lk-hand-end", row, control.more);
      const typed = ownKeys(add("input", "lk-hand-typed", row));
      typed.type = "text";
      typed.setAttribute("aria-label", filled(this.texts.typed, { name: control.name }));
      const kit = add("span", "lk-hand-kit", row, this.texts.kit);
      const parts = { row, slider, typed, kit, own: 0 };
      slider.addEventListener("input", () => this.slid(control.key, parts));
      slider.addEventListener("keydown", (event) => event.stopPropagation());
      typed.addEventListener("keydown", (event) => event.stopPropagation());
      typed.addEventListener("change", () => {
        this.send({ event: "typed", control: control.key, text: typed.value });
      });
      this.rows.set(control.key, parts);
    }
    this.centre = button(box, this.texts.centre, () => this.send({ event: "centre" }));
  }

  slid(key, parts) {
    parts.own = performance.now();
    const before = this.model.get("slid");
    const n = ((before[key] || {}).n || 0) + 1;
    this.model.set("slid", { ...before, [key]: { value: parts.slider.value / 100, n } });
    this.model.save_changes();
    parts.slider.setAttribute("aria-valuetext", `${parts.slider.value} %`);
  }

  places({ at, text }) {
    for (const [key, value] of Object.entries(at)) {
      const parts = this.rows.get(key);
      if (!parts) continue;
      const own = performance.now() - parts.own < OWN_HAND_MS || parts.slider.matches(":active");
      if (!own) {
        const shown = String(Math.round(value * 100));
        if (parts.slider.value !== shown) {
          parts.slider.value = shown;
          parts.slider.setAttribute("aria-valuetext", text[key]);
        }
      }
      if (document.activeElement !== parts.typed && parts.typed.value !== text[key]) parts.typed.value = text[key];
    }
  }

  offered() {
    const flown = this.model.get("flown");
    for (const [key, parts] of this.rows) {
      const mine = flown.includes(key);
      parts.slider.disabled = parts.typed.disabled = !mine;
      parts.kit.hidden = mine;
    }
    this.letGo();
    this.drawCaps();
  }

  // ------------------------------------------------------------ pedals, stick, gamepad

  desk() {
    this.fold = add("details", "lk-hand-desk", this.foot);
    ownKeys(add("summary", "", this.fold, this.texts.desk));
    this.seen = add("p", "", this.fold);
    this.deskRows = new Map();
    for (const control of this.setup.controls) {
      const row = add("div", "lk-hand-row", this.fold);
      add("span", "lk-hand-name", row, control.name);
      const text = add("span", "lk-hand-axis", row);
      const ask = (what, more = {}) => () => this.send({ event: "pad", do: what, control: control.key, ...more });
      const named = (element, what) => { element.setAttribute("aria-label", `${control.name}: ${what}`); return element; };
      const assign = named(button(row, this.texts.assign, ask("assign")), this.texts.assign);
      const later = [
        named(button(row, this.texts.reverse, ask("reverse")), this.texts.reverse),
        ...(control.low < 0 ? [named(button(row, this.texts.middle, ask("centre")), this.texts.middle)] : []),
        named(button(row, this.texts.forget, ask("forget")), this.texts.forget),
      ];
      const band = ownKeys(add("select", "lk-hand-band", row));
      for (const share of [0, 0.02, 0.05, 0.1, 0.2]) {
        add("option", "", band, filled(this.texts.dead_band, { share: Math.round(share * 100) })).value = share;
      }
      named(band, this.texts.dead_band_name);
      band.addEventListener("change", () => ask("dead_band", { share: Number(band.value) })());
      this.deskRows.set(control.key, { text, assign, later: [...later, ...(control.low < 0 ? [band] : [])], reverse: later[0], band });
      if (control.low >= 0) band.hidden = true;
    }
  }

  showDesk() {
    const { sentence, rows } = this.model.get("desk");
    this.seen.textContent = sentence;
    for (const [key, parts] of this.deskRows) {
      const row = rows[key];
      parts.text.textContent = row.text;
      parts.assign.textContent = row.assigning ? this.texts.give_up : this.texts.assign;
      parts.reverse.setAttribute("aria-pressed", row.reversed);
      for (const element of parts.later) element.hidden = !row.assigned || row.assigning;
      parts.band.value = String(row.dead_band);
    }
  }

  tell() {
    this.note.classList.toggle("lk-alarm", this.model.get("alarm"));
    const text = this.model.get("note");
    if (this.note.textContent !== text) this.note.textContent = text;
  }

  close() {
    this.letGo();
    this.leaving.abort();
  }
}

// ---------------------------------------------------------------- one model

export default () => {
  const views = new Set();
  let pads = null;
  let leaving = 0;

  // A picture is drawn with the next frame; what runs after that frame finds it on the screen.
  function drawn(model, n) {
    requestAnimationFrame(() => setTimeout(() => send(model, { event: "shown", n }), 0));
  }

  function initialize({ model }) {
    const onMessage = (message) => {
      if (message.do === "places") {
        for (const view of views) view.places(message);
        if (message.n) drawn(model, message.n);
      } else if (message.do === "focus") {
        for (const view of views) view.box.focus({ preventScroll: true });
      } else if (message.do === "release") {
        for (const view of views) view.letGo();
      }
    };
    const all = (what) => () => { for (const view of views) view[what](); };
    const handlers = {
      "msg:custom": onMessage,
      "change:flown": all("offered"),
      "change:desk": all("showDesk"),
      "change:note": all("tell"),
      "change:alarm": all("tell"),
      "change:kept": () => keep(model),
    };
    for (const [event, handler] of Object.entries(handlers)) model.on(event, handler);
    const changed = (event) => {
      if (event.detail !== model) send(model, { event: "stored", kept: stored(), newer: true });
    };
    document.addEventListener(KEPT, changed);
    if (!Object.keys(model.get("kept")).length) send(model, { event: "stored", kept: stored() });
    return () => {
      for (const [event, handler] of Object.entries(handlers)) model.off(event, handler);
      document.removeEventListener(KEPT, changed);
      if (pads) pads.stop();
      pads = null;
    };
  }

  function render({ model, el }) {
    clearTimeout(leaving);
    const view = new View(model, el);
    views.add(view);
    send(model, { event: "opened", hidden: document.hidden });
    if (!pads) pads = new Pads(model);
    return () => {
      views.delete(view);
      view.close();
      if (views.size) return;
      if (pads) pads.stop();
      pads = null;
      leaving = setTimeout(() => send(model, { event: "closed" }), CLOSED_MS);
    };
  }

  return { initialize, render };
};
