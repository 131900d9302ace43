// Elements of the page and the drawings of a board. All text goes in as text, never as markup; the frames are those
// that the page was made with.
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
const list = (items, kind = "ul", props = {}) =>
  el(
    kind,
    props,
    items.map((x) => (x instanceof Node && x.tagName === "LI" ? x : el("li", {}, x))),
  );
const section = (id, title, where, ...children) =>
  el(
    "section",
    { id, class: where, "aria-labelledby": `${id}-head` },
    el("h2", { id: `${id}-head` }, title),
    ...children,
  );
const folded = (title, ...children) => el("details", {}, el("summary", {}, title), ...children);
function fill(node, key, make) {
  // made again only where what it says changed
  if (node.key === key) return;
  node.key = key;
  node.replaceChildren(...shown([make()]));
}

// A board drawn as it stands; where `before` is given, with what changed.
class Drawing {
  constructor(table) {
    this.table = table;
    this.boxes = table.selectors.map((s) => ({ caption: el("figcaption"), svg: s.svg ? framed(s.svg) : null }));
    this.node = el(
      "div",
      { class: "board" },
      this.boxes.map(({ caption, svg }) => el("figure", {}, caption, svg)),
    );
  }
  show(setting, before = null) {
    this.table.selectors.forEach((s, n) => {
      const box = this.boxes[n],
        key = JSON.stringify(s.lines.map((l) => [setting[l.p], before ? before[l.p] : null]));
      if (box.key !== key) this.draw(s, box, setting, before);
      box.key = key;
    });
    return this.node;
  }
  draw(s, { caption, svg }, setting, before) {
    const words = s.lines.map((l) => word(this.table, l.p, setting[l.p])),
      name = (l) => (l.label ? `${s.n}-${l.label}` : s.n);
    const changed = s.lines.filter((l) => before && before[l.p] !== null && before[l.p] !== setting[l.p]);
    const each = s.form === "leads" ? s.lines.map((l, n) => `${l.label} ${words[n]}`).join(", ") : words.join(" ");
    const digits = s.digits && !words.includes("?") ? s.lines.map((l) => setting[l.p]).join("") : each;
    caption.replaceChildren(
      el("b", {}, s.n),
      ` ${digits}`,
      ...changed.map((l) =>
        el(
          "span",
          { class: "small" },
          `change ${name(l)} from ${word(this.table, l.p, before[l.p])} to ${word(this.table, l.p, setting[l.p])}`,
        ),
      ),
    );
    if (!svg) return;
    svg.setAttribute("aria-label", `${s.n}: ${s.lines.map((l, n) => `${l.label} ${words[n]}`.trim()).join(", ")}`);
    filled(s, svg, setting, before, changed);
  }
}
function word(table, p, at) {
  if (at === null) return "?";
  if (at < 0) return table.parts[p].absent;
  return table.selectors.flatMap((s) => s.lines).find((l) => l.p === p).marks[at];
}
const SVG = "http://www.w3.org/2000/svg",
  frames = new Map();
function drawnTag(tag, props, text = "") {
  const out = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(props)) out.setAttribute(name, value);
  out.textContent = text;
  return out;
}
function framed(svg) {
  if (!frames.has(svg))
    frames.set(svg, document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true));
  return frames.get(svg).cloneNode(true);
}
function filled(s, svg, setting, before, changed) {
  // holes taken, taken before, not readable; what points at changes
  const holes = [...svg.querySelectorAll("[data-part]")],
    mark = (e) => {
      e.setAttribute("class", "mark");
      return e;
    };
  for (const old of svg.querySelectorAll(".mark")) old.remove();
  for (const hole of holes) {
    const p = Number(hole.dataset.part),
      i = Number(hole.dataset.position),
      taken = setting[p] === i;
    if (taken !== hole.hasAttribute("fill")) hole.toggleAttribute("fill");
    if (taken) {
      hole.setAttribute("fill", "currentColor");
      continue;
    }
    if (setting[p] !== null && !(before && before[p] === i)) continue;
    const [x, y, w] = ["x", "y", "width"].map((n) => Number(hole.getAttribute(n)));
    const ends = (d) => (d <= w ? `M${x} ${y + d}L${x + d} ${y}` : `M${x + d - w} ${y + w}L${x + w} ${y + d - w}`),
      middle = { x: x + w / 2, y: y + w / 2 + 4 };
    if (setting[p] === null) {
      const look = {
        "font-size": 11,
        "font-weight": "bold",
        "text-anchor": "middle",
        fill: "currentColor",
        stroke: "none",
      };
      hole.after(mark(drawnTag("text", { ...middle, ...look }, "?")));
    } else hole.after(mark(drawnTag("path", { d: [4, 8, 12, 16, 20, 24].map(ends).join(""), "stroke-width": 1.4 })));
  }
  for (const l of changed) {
    const points = l.points[l.points.length > 1 ? setting[l.p] : 0];
    if (points) svg.append(mark(drawnTag("polygon", { points, fill: "currentColor", stroke: "none" })));
    else if (s.form === "ring") svg.append(...arrow(holes, before[l.p], setting[l.p]).map(mark));
  }
}
function arrow(holes, from, to) {
  // inside a ring, from the mark before to the mark now
  const at = holes.map((h) => ["x", "y"].map((n) => Number(h.getAttribute(n)) + Number(h.getAttribute("width")) / 2));
  if (!at[from] || !at[to]) return [];
  const [u, v] = [0, 1].map((n) => at.reduce((sum, c) => sum + c[n], 0) / at.length),
    radius = Math.hypot(at[0][0] - u, at[0][1] - v);
  const short = (radius - 15) / radius,
    [a, b] = [at[from], at[to]].map(([x, y]) => [u + (x - u) * short, v + (y - v) * short]);
  const long = Math.max(Math.hypot(b[0] - a[0], b[1] - a[1]), 0.001),
    [du, dv] = [((b[0] - a[0]) / long) * 6, ((b[1] - a[1]) / long) * 6];
  const head = [[b[0] - du - dv * 0.7, b[1] - dv + du * 0.7], b, [b[0] - du + dv * 0.7, b[1] - dv - du * 0.7]];
  return [[a, b], head].map((points) =>
    drawnTag("polyline", {
      points: points.map((p) => p.map((n) => n.toFixed(2)).join()).join(" "),
      "stroke-width": 1.2,
    }),
  );
}
