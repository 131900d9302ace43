// Elements of the page and the drawings of a board. All text goes in as text, never as markup; the frames are those that the page was made with.
function el(tag, props = {}, ...children) {
  const out = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (name.startsWith("on")) out.addEventListener(name.slice(2), value);
    else if (value === true) out.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) out.setAttribute(name, value);
  }
  out.append(...shown(children));
  return out;
}
const shown = (children) => children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== "");
const list = (items, kind = "ul", props = {}) => el(kind, props, items.map((x) => (x instanceof Node && x.tagName === "LI" ? x : el("li", {}, x))));
const section = (id, title, where, ...children) =>
  el("section", { id, class: where, "aria-labelledby": `${id}-head` }, el("h2", { id: `${id}-head` }, title), ...children);
const folded = (title, ...children) => el("details", {}, el("summary", {}, title), ...children);
function fill(node, key, make) { // made again only where what it says changed
  if (node.key === key) return;
  node.key = key;
  node.replaceChildren(...shown([make()]));
}

// A board drawn as it stands; where `before` is given, with what changed.
class Drawing {
  constructor(table) {
    this.table = table;
    this.boxes = table.selectors.map(() => el("figure"));
    this.node = el("div", { class: "board" }, this.boxes);
  }
  show(setting, before = null) {
    this.table.selectors.forEach((s, n) => {
      const places = s.lines.map((l) => [setting[l.p], before ? before[l.p] : null]);
      fill(this.boxes[n], JSON.stringify(places), () => this.figure(s, setting, before));
    });
    return this.node;
  }
  figure(s, setting, before) {
    const words = s.lines.map((l) => word(this.table, l.p, setting[l.p])), name = (l) => (l.label ? `${s.n}-${l.label}` : s.n);
    const changed = s.lines.filter((l) => before && before[l.p] !== null && before[l.p] !== setting[l.p]);
    const digits = s.digits && !words.includes("?") ? s.lines.map((l) => setting[l.p]).join("") : words.join(" ");
    return [
      el("figcaption", {}, el("b", {}, s.n), " ", digits, changed.map((l) =>
        el("span", { class: "small" }, `change ${name(l)} from ${word(this.table, l.p, before[l.p])} to ${word(this.table, l.p, setting[l.p])}`))),
      s.svg ? filled(s, `${s.n}: ${s.lines.map((l, n) => `${l.label} ${words[n]}`.trim()).join(", ")}`, setting, before, changed) : null,
    ];
  }
}
function word(table, p, at) {
  if (at === null) return "?";
  if (at < 0) return table.parts[p].absent;
  return table.selectors.flatMap((s) => s.lines).find((l) => l.p === p).marks[at];
}
const SVG = "http://www.w3.org/2000/svg", frames = new Map();
function drawnTag(tag, props, text = "") {
  const out = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(props)) out.setAttribute(name, value);
  out.textContent = text;
  return out;
}
function filled(s, said, setting, before, changed) { // the frame with its holes filled: taken, taken before, not readable; what points at changes
  if (!frames.has(s.svg)) frames.set(s.svg, document.importNode(new DOMParser().parseFromString(s.svg, "image/svg+xml").documentElement, true));
  const out = frames.get(s.svg).cloneNode(true), holes = [...out.querySelectorAll("[data-part]")];
  out.setAttribute("aria-label", said);
  for (const hole of holes) {
    const p = Number(hole.dataset.part), i = Number(hole.dataset.position), [x, y, w] = ["x", "y", "width"].map((n) => Number(hole.getAttribute(n)));
    const ends = (d) => (d <= w ? `M${x} ${y + d}L${x + d} ${y}` : `M${x + d - w} ${y + w}L${x + w} ${y + d - w}`), middle = { x: x + w / 2, y: y + w / 2 + 4 };
    if (setting[p] === i) hole.setAttribute("fill", "currentColor");
    else if (setting[p] === null) {
      const look = { "font-size": 11, "font-weight": "bold", "text-anchor": "middle", fill: "currentColor", stroke: "none" };
      hole.after(drawnTag("text", { ...middle, ...look }, "?"));
    } else if (before && before[p] === i) hole.after(drawnTag("path", { d: [4, 8, 12, 16, 20, 24].map(ends).join(""), "stroke-width": 1.4 }));
  }
  for (const l of changed) {
    const points = l.points[l.points.length > 1 ? setting[l.p] : 0];
    if (points) out.append(drawnTag("polygon", { points, fill: "currentColor", stroke: "none" }));
    else if (s.form === "ring") out.append(...arrow(holes, before[l.p], setting[l.p]));
  }
  return out;
}
function arrow(holes, from, to) { // inside a ring, from the mark before to the mark now
  const at = holes.map((h) => ["x", "y"].map((n) => Number(h.getAttribute(n)) + Number(h.getAttribute("width")) / 2));
  if (!at[from] || !at[to]) return [];
  const [u, v] = [0, 1].map((n) => at.reduce((sum, c) => sum + c[n], 0) / at.length), radius = Math.hypot(at[0][0] - u, at[0][1] - v);
  const short = (radius - 15) / radius, [a, b] = [at[from], at[to]].map(([x, y]) => [u + (x - u) * short, v + (y - v) * short]);
  const long = Math.max(Math.hypot(b[0] - a[0], b[1] - a[1]), 0.001), [du, dv] = [(b[0] - a[0]) / long * 6, (b[1] - a[1]) / long * 6];
  const head = [[b[0] - du - dv * 0.7, b[1] - dv + du * 0.7], b, [b[0] - du + dv * 0.7, b[1] - dv - du * 0.7]];
  return [[a, b], head].map((points) => drawnTag("polyline", { points: points.map((p) => p.map((n) => n.toFixed(2)).join()).join(" "), "stroke-width": 1.2 }));
}
