// Elements of the page, and the board as it is touched. All text goes in as text, never as markup; the drawings are
// those that the page was made with.
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
const folded = (title, ...children) => el("details", {}, el("summary", {}, title), ...children);
const button = (name, act, props = {}) => el("button", { type: "button", onclick: act, ...props }, name);
function fill(node, key, make) {
  // made again only where what it says changed
  if (node.key === key) return;
  node.key = key;
  node.replaceChildren(...shown([make()]));
}
function word(table, p, at) {
  if (at === null) return "?";
  if (at < 0) return table.parts[p].absent;
  return table.selectors.flatMap((s) => s.lines).find((l) => l.p === p).marks[at];
}
const SVG = "http://www.w3.org/2000/svg",
  PITCH = 44,
  BRACKET = 22;
const rem = () => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
function drawnTag(tag, props, text = "") {
  const out = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(props)) out.setAttribute(name, value);
  out.textContent = text;
  return out;
}
function drawing(inner, wide, high) {
  const text = `<svg xmlns="${SVG}" viewBox="0 0 ${wide} ${high}">${inner}</svg>`;
  const svg = document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
  svg.style.width = `${wide / 16}rem`;
  return svg;
}

// One selector. `touch(part, position)` is told what was touched.
class Touched {
  constructor(page, s) {
    Object.assign(this, { page, s, table: page.table, turn: s.turn, keys: [] });
    this.box = el("div", { class: "drawing", role: "group", "aria-label": s.n, onkeydown: (e) => this.arrow(e) });
    this.digits = el("span", { class: "digits" });
    const name = el("h2", {}, el("b", {}, s.n), this.digits);
    this.turner = s.bank ? button("turn", () => this.turned(), { class: "plain" }) : null;
    const note = s.note ? el("p", { class: "small" }, s.note) : null;
    this.node = el(
      "div",
      { class: `selector ${s.bank ? "bank" : ""}` },
      el("div", { class: "head" }, name, this.turner),
      this.box,
      note,
    );
    if (!s.bank && !s.svg) this.choice();
  }
  name(l) {
    return l.label ? `${this.s.n}-${l.label}` : this.s.n;
  }
  choice() {
    // a long list
    const l = this.s.lines[0],
      change = () => this.page.touch(l.p, this.select.value === "" ? null : +this.select.value);
    this.select = el(
      "select",
      { "aria-label": this.s.n, onchange: change },
      el("option", { value: "" }, "not known"),
      l.marks.map((m, i) => el("option", { value: i }, m)),
    );
    this.box.append(this.select);
  }
  read(l, setting) {
    // what stands in a part; of one that was half read every position that it may be
    const half = setting[l.p] === null ? this.page.half.get(l.p) : null;
    return half ? half.map((i) => word(this.table, l.p, i)).join(" or ") : word(this.table, l.p, setting[l.p]);
  }
  turned() {
    this.turn = (this.turn + 1) % 4;
    this.fit(true);
  }
  fit(again = false) {
    // drawn anew where another number of switches fits in a row
    if (this.select) return;
    const per = this.s.bank ? this.per() : 1;
    if (!again && per === this.count) return;
    this.count = per;
    this.box.replaceChildren(...(this.s.bank ? this.bands(per) : [drawing(this.s.svg, this.s.w, this.s.h)]));
    this.states = new Map();
    for (const g of this.box.querySelectorAll("[data-v]")) {
      const key = g.dataset.v;
      this.states.set(key, [...(this.states.get(key) || []), g]);
    }
    this.places = [...this.box.querySelectorAll("[data-part]")];
    const byPart = new Map(this.s.lines.map((l) => [l.p, l]));
    for (const g of this.places) {
      const p = +g.dataset.part,
        i = +g.dataset.position,
        l = byPart.get(p);
      const label = `${this.name(l)} ${word(this.table, p, i)}${l.spare ? ", not used" : ""}`;
      g.setAttribute("role", "button");
      g.setAttribute("aria-label", label);
      g.setAttribute("aria-pressed", "false");
      g.setAttribute("tabindex", "-1");
      const act = () => {
        this.focusOn(g);
        this.page.touch(p, i);
      };
      g.addEventListener("click", act);
      g.addEventListener("keydown", (e) => {
        if (e.key === " " || e.key === "Enter") {
          e.preventDefault();
          act();
        }
      });
    }
    this.stop = null;
    if (this.places.length) this.focusOn(this.places[0]);
    this.keys = [];
    if (this.last) this.show(...this.last);
  }
  per() {
    // switches in a row
    const room = (this.box.clientWidth || 352) / rem(),
      // eight stay in one row, drawn smaller, where a narrow window has a scroll bar as well
      most = Math.max(1, Math.floor(room / PITCH + 0.02), Math.min(8, Math.floor(room / (PITCH - 7))));
    const n = this.s.lines.length,
      odd = this.turn % 2,
      count = odd ? Math.min(8, n) : Math.min(most, n);
    return Math.ceil(n / Math.ceil(n / count));
  }
  bands(per) {
    const { s, turn } = this,
      one = this.table.switches[s.bank][turn % 2],
      odd = turn % 2,
      back = turn > 1,
      out = [];
    const groups = !turn && s.lines.length <= per ? s.groups : [];
    for (let start = 0; start < s.lines.length; start += per) {
      const row = s.lines.slice(start, start + per);
      const inner = row
        .map((l, i) => {
          const at = back ? row.length - 1 - i : i,
            x = odd ? 0 : at * one.w,
            y = odd ? at * one.h : 0;
          const made = (l.spare ? one.spare : one.used).replaceAll("@p", l.p).replaceAll("@n", l.label);
          const half = back ? ` rotate(180 ${one.w / 2} ${one.h / 2})` : "";
          return `<g${l.spare ? ' class="spare"' : ""} transform="translate(${x} ${y})${half}">${made}</g>`;
        })
        .join("");
      const wide = odd ? one.w : row.length * one.w,
        high = odd ? row.length * one.h : one.h;
      const svg = drawing(inner, wide, high + (odd ? 0 : BRACKET));
      if (odd) svg.setAttribute("viewBox", `0 0 ${wide} ${high}`);
      row.forEach((l, i) => {
        const at = (back ? row.length - 1 - i : i) + 0.5,
          place = odd ? { x: one.w + 28, y: at * one.h + 4 } : { x: at * one.w, y: high + 11 };
        svg.append(drawnTag("text", { class: "b moved", "font-size": 12, "data-moved": l.p, ...place }));
      });
      for (const [a, b, said] of groups) svg.append(...this.bracket(a, b, said, high));
      const side = el("b", { class: `side ${turn === 1 ? "far" : ""}` }, one.side);
      out.push(el("div", { class: `band turn${turn}` }, turn === 2 || turn === 3 ? [svg, side] : [side, svg]));
    }
    this.moving = out.flatMap((band) => [...band.querySelectorAll("[data-moved]")]);
    this.box.classList.toggle("short", !groups.length && !odd);
    return out;
  }
  bracket(a, b, said, y) {
    const wide = (b - a) * PITCH - 11,
      line = `M${a * PITCH + 5.5} ${y + 1}v4h${wide}v-4`;
    return [
      drawnTag("path", { class: "e bracket", d: line }),
      drawnTag("text", { class: "s bracket", "font-size": 12, x: ((a + b) / 2) * PITCH, y: y + 18 }, said),
    ];
  }
  focusOn(g) {
    if (this.stop === g) return;
    this.stop?.setAttribute("tabindex", "-1");
    this.stop = g;
    g.setAttribute("tabindex", "0");
  }
  arrow(e) {
    // from place to place: along the parts, and across the positions of one
    const step = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, -1], ArrowUp: [0, 1] }[e.key];
    const now = this.places && this.places.indexOf(document.activeElement);
    if (!step || now < 0 || now === undefined) return;
    e.preventDefault();
    const g = this.places[now],
      parts = this.s.lines.map((l) => String(l.p)),
      mine = parts.indexOf(g.dataset.part);
    let next;
    if (parts.length > 1 && step[0]) {
      const part = parts[mine + step[0]];
      next = this.places.find((x) => x.dataset.part === part && x.dataset.position === g.dataset.position);
    } else {
      const same = this.places
        .filter((x) => x.dataset.part === g.dataset.part)
        .sort((a, b) => a.dataset.position - b.dataset.position);
      next = same[same.indexOf(g) + (parts.length > 1 ? step[1] : step[0] - step[1])];
    }
    if (next) {
      this.focusOn(next);
      next.focus();
    }
  }
  // `before`: where each part was; `held`: parts that are to stay
  show(setting, before, held) {
    this.last = [setting, before, held];
    const { s, table } = this;
    if (!this.places) this.fit(); // later where the window changes: to ask for the width is to lay out anew
    s.lines.forEach((l, n) => {
      const at = setting[l.p],
        was = before && before[l.p] !== null && before[l.p] !== at ? before[l.p] : undefined;
      const key = `${at} ${was} ${held && held.has(l.p)} ${this.page.half.get(l.p)}`;
      if (this.keys[n] === key) return;
      this.keys[n] = key;
      this.part(l, at, was, held && held.has(l.p));
    });
    const marks = s.lines.map((l) =>
      l.spare && setting[l.p] === null
        ? "-"
        : s.digits && setting[l.p] !== null
          ? setting[l.p]
          : this.read(l, setting),
    );
    const said = s.lines.every((l) => setting[l.p] === null && !this.page.half.has(l.p))
      ? "tap each"
      : s.digits
        ? marks.join("").replace(/(.{8})(?=.)/g, "$1 ")
        : marks.join(" ");
    if (this.digits.textContent !== said) this.digits.textContent = said;
  }
  part(l, at, was, held) {
    if (this.select) {
      // what it may be stands in the list's first line, and is marked in the list
      const some = (at === null && this.page.half.get(l.p)) || [];
      [...this.select.options].forEach((option, n) => {
        const said = n ? l.marks[n - 1] : some.length ? this.read(l, this.last[0]) : "not known";
        option.textContent = n && some.includes(n - 1) ? `${said} (may be)` : said;
      });
      this.select.value = at ?? "";
      return;
    }
    for (const g of this.states.get(String(l.p)) || []) g.classList.toggle("unread", at === null);
    const all = [...l.marks.keys(), ...(this.table.parts[l.p].absent ? [-1] : [])];
    const half = at === null ? this.page.half.get(l.p) : null;
    for (const i of all)
      for (const g of this.states.get(`${l.p}.${i}`) || []) {
        g.classList.toggle("here", at === i);
        g.classList.toggle("was", was === i);
        g.classList.toggle("unread", at === null);
        g.classList.toggle("maybe", Boolean(half) && half.includes(i));
      }
    for (const g of this.places)
      if (+g.dataset.part === l.p) {
        const on = String(at === +g.dataset.position || Boolean(half && half.includes(+g.dataset.position)));
        if (g.getAttribute("aria-pressed") !== on) g.setAttribute("aria-pressed", on);
      }
    for (const t of this.moving || [])
      if (+t.dataset.moved === l.p) {
        t.textContent = held ? "held" : was !== undefined && at !== null ? `to ${word(this.table, l.p, at)}` : "";
      }
  }
}
