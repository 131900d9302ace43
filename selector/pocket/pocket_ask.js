// The targets that a person types, and the settings or reasons that answer them.
const FAR = fraction(15, 100); // further off than this is no answer to what was asked

class Ask {
  constructor(page) {
    this.page = page;
    this.table = page.table;
    this.rows = new Map();
    this.held = new Map();
    this.ton = { text: "", unit: page.unit };
    this.stages = this.table.calls.flatMap((call, c) =>
      call.stages.map((stage, s) => ({ c, s, key: `${c} ${s}`, call, title: titled({ call: call.n, stage }) })),
    );
    this.answers = el("div");
    this.form = el(
      "div",
      {},
      el(
        "p",
        { class: "small" },
        "Type what you want of one call or several; leave the others empty. " +
          "Moves are counted from the board as tapped; " +
          "where nothing is tapped, from the board as delivered.",
      ),
      this.stages.map((x) => this.target(x)),
      folded("More: weights, a ton's airflow, positions to hold", this.more()),
    );
    this.relabel();
  }
  target({ key, call, title, c, s }) {
    const row = { from: "", to: "", weight: "", unit: this.page.unit, kind: 0, told: el("small", {}) };
    row.kinds = [
      { q: "airflow" },
      ...(call.heats ? [{ q: "temperature rise" }] : []),
      ...(call.compressor ? [{ q: "airflow per ton" }, { q: "tons" }] : []),
      ...this.stages.filter((x) => x.c !== c || x.s !== s).map((x) => ({ q: "share", of: [x.c, x.s], title: x.title })),
    ];
    const typed = () => {
      Object.assign(row, { from: row.low.value, to: row.high.value, unit: this.page.unit });
      this.later();
    };
    const input = (label) =>
      el("input", { inputmode: "decimal", autocomplete: "off", "aria-label": `${title}, ${label}`, oninput: typed });
    Object.assign(row, { low: input("target"), high: input("up to") });
    row.select = el(
      "select",
      {
        "aria-label": `${title}, what the figure is`,
        onchange: (e) => {
          row.kind = e.target.selectedIndex;
          this.seek();
        },
      },
      row.kinds.map(() => el("option")),
    );
    this.rows.set(key, row);
    return el(
      "fieldset",
      { class: "target" },
      el("legend", {}, title),
      el("label", {}, "target", row.low),
      el("label", {}, "up to", row.high),
      el("label", {}, "what it is", row.select),
      row.told,
    );
  }
  more() {
    const number = (label, typed, placeholder) =>
      el(
        "label",
        {},
        label,
        el("input", {
          inputmode: "decimal",
          autocomplete: "off",
          placeholder,
          oninput: (e) => {
            typed(e.target.value);
            this.later();
          },
        }),
      );
    const weights = this.stages.map((x) =>
      number(
        `${x.title}, weight`,
        (v) => {
          this.rows.get(x.key).weight = v;
        },
        "1",
      ),
    );
    this.tonInput = el("input", {
      inputmode: "decimal",
      autocomplete: "off",
      oninput: (e) => {
        this.ton = { text: e.target.value, unit: this.page.unit };
        this.relabel();
        this.later();
      },
    });
    this.tonLabel = el("span");
    const holds = this.table.selectors.flatMap((s) =>
      s.lines.map((l) => {
        const marks = [
          ...l.marks.map((m, i) => [m, i]),
          ...(this.table.parts[l.p].absent ? [[this.table.parts[l.p].absent, -1]] : []),
        ];
        const change = (e) => {
          if (e.target.selectedIndex) this.held.set(l.p, marks[e.target.selectedIndex - 1][1]);
          else this.held.delete(l.p);
          this.seek();
        };
        const name = l.label ? `${s.n}-${l.label}` : s.n;
        return el(
          "label",
          {},
          `${name} stays on`,
          el(
            "select",
            { onchange: change },
            el("option", {}, "free"),
            marks.map(([m]) => el("option", {}, m)),
          ),
        );
      }),
    );
    return [
      el(
        "p",
        { class: "small" },
        "A target with weight 2 counts double. A position that is held is in every setting shown.",
      ),
      el(
        "div",
        { class: "fields" },
        weights,
        this.table.calls.some((c) => c.compressor) ? el("label", {}, this.tonLabel, this.tonInput) : null,
        holds,
      ),
    ];
  }
  scale(unit) {
    return (this.page.engine || new Engine(this.table, 0, new Map())).value(this.table.airflow[unit]);
  }
  relabel() {
    // another unit of airflow: what is typed is shown in it, and still means the same
    const { unit } = this.page;
    for (const row of this.rows.values()) {
      const { q } = row.kinds[row.kind],
        change = q === "airflow" || q === "airflow per ton";
      for (const [field, input] of [
        [row.from, row.low],
        [row.to, row.high],
      ]) {
        const x = decimal(field);
        input.value =
          change && row.unit !== unit && field.trim() && x !== null
            ? figure(over(times(x, this.scale(unit)), this.scale(row.unit)))
            : field;
      }
      row.kinds.forEach((k, n) => {
        row.select.options[n].textContent = this.kind(k);
      });
    }
    const typed = decimal(this.ton.text);
    this.tonLabel.textContent = `${unit} for each ton`;
    this.tonInput.placeholder = this.perTon();
    if (typed && this.ton.unit !== unit) this.tonInput.value = this.perTon();
  }
  usual() {
    // airflow of a ton, in the table's unit
    const typed = this.ton.text.trim() ? decimal(this.ton.text) : null;
    return typed && compare(typed, ZERO) > 0
      ? over(typed, this.scale(this.ton.unit))
      : (this.page.engine || new Engine(this.table, 0, new Map())).value(this.table.usual);
  }
  perTon() {
    return figure(times(this.usual(), this.scale(this.page.unit)));
  }
  kind(k) {
    const { unit } = this.page,
      degree = this.table.units[1];
    return {
      airflow: unit,
      "temperature rise": `${degree} rise`,
      "airflow per ton": `${unit} per ton`,
      tons: `tons at ${this.perTon()}`,
      share: `% of ${k.title}`,
    }[k.q];
  }
  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.seek(), 150);
  }
  asked() {
    const out = [],
      wrong = [];
    for (const { c, s, key, title } of this.stages) {
      const row = this.rows.get(key),
        from = row.from.trim(),
        to = row.to.trim(),
        k = row.kinds[row.kind];
      row.low.removeAttribute("aria-invalid");
      row.told.textContent = "";
      if (!from && !to) continue;
      const low = decimal(from),
        high = to ? decimal(to) : low,
        weight = row.weight.trim() ? decimal(row.weight) : ONE;
      const bad = (why) => {
        wrong.push(`${title}: ${why}`);
        row.low.setAttribute("aria-invalid", "true");
      };
      if (low === null || high === null || compare(low, ZERO) <= 0) bad("type a figure above 0");
      else if (compare(low, high) > 0) bad("type the lower figure first");
      else if (weight === null || compare(weight, ZERO) <= 0) bad("a weight must be more than 0");
      else {
        const airflow = k.q === "airflow" || k.q === "airflow per ton",
          scale = this.scale(row.unit),
          shown1 = (x) => figure(airflow ? times(over(x, scale), this.scale(this.page.unit)) : x);
        const change = k.q === "tons" ? (x) => times(x, this.usual()) : airflow ? (x) => over(x, scale) : (x) => x;
        out.push({
          call: c,
          stage: s,
          quantity: k.q === "tons" ? "airflow" : k.q,
          low: change(low),
          high: change(high),
          weight,
          of: k.of || null,
          row,
          text: `${shown1(low)}${to ? ` to ${shown1(high)}` : ""} ${this.kind(k)}`,
        });
      }
    }
    return [out, wrong];
  }
  seek() {
    clearTimeout(this.timer);
    const { page } = this,
      { engine, setting } = page,
      [targets, wrong] = this.asked();
    if (wrong.length || !targets.length) {
      this.answers.replaceChildren(...wrong.map((w) => el("p", { class: "told" }, w)));
      return;
    }
    const found = setting.some((at) => at !== null) ? setting.slice() : null;
    let r;
    try {
      r = find(engine, targets, found, this.held);
    } catch (error) {
      if (!(error instanceof TooMuch)) throw error;
      this.answers.replaceChildren(
        el("p", { class: "told" }, "Too many outcomes to work out exactly here. Ask for fewer calls at once."),
      );
      return;
    }
    const out = [page.warned()];
    if (r.ranked.length) {
      const evaluated = r.ranked.map((x) => engine.evaluate(x.setting));
      out.push(
        this.far(r, targets, evaluated[0]),
        this.order(r),
        el("p", { class: "small" }, this.table.key),
        el(
          "ol",
          { class: "found" },
          r.ranked.map((x, n) => this.one(x, n, targets, r.space, found, evaluated[n])),
        ),
      );
      for (const t of targets) t.row.told.textContent = `setting 1: ${this.aim(t, evaluated[0])}`;
    } else out.push(this.miss(r, targets));
    if (r.nearer) {
      const broken = engine
        .evaluate(r.nearer.setting)
        .flat()
        .flatMap((s) => s.judged.filter((j) => j.ok === false).map((j) => `${titled(s)}: ${page.limit(j)}`));
      out.push(
        el("h3", {}, `Nearer (deviation ${figure(times(r.nearer.deviation, HUNDRED), 2)} %), but forbidden`),
        list(broken),
      );
    }
    out.push(page.unjudged(r.notJudged));
    const facts = [...r.space.fixed].filter(([, [, why]]) => why === "fact").map(([p, [at]]) => page.name(p, at));
    if (facts.length) out.push(el("p", {}, `Set from the equipment, not searched: ${facts.join(", ")}`));
    if (r.space.unsaid.length)
      out.push(
        el(
          "p",
          {},
          `Left as they stand, because the equipment they tell the board is not given: ${r.space.unsaid.join(", ")}`,
        ),
      );
    if (r.ranked.length) out.push(el("h3", {}, "Before setting it"), list(this.warn(r), "ul", { class: "cautions" }));
    this.answers.replaceChildren(...shown(out));
  }
  order(r) {
    const explained = "Deviation: how far off, all targets added up.";
    const close = r.ranked.some((x, n) => n && compare(r.ranked[n - 1].deviation, x.deviation) > 0);
    return el(
      "p",
      { class: "small" },
      close ? `${explained} Within 1 point they count as equal, and fewest moves come first.` : explained,
    );
  }
  far(r, targets, calls) {
    // what was asked for and the first setting is far from: what the board can give there
    return targets.flatMap((t) => {
      const s = calls[t.call][t.stage],
        value = this.value(t, calls),
        off = value && beyond(value, t.low, t.high);
      if (!value || compare(off, FAR) <= 0) return [];
      let flows = [];
      try {
        flows = reachable(this.page.engine, r.space, t.call, t.stage);
      } catch (error) {
        if (!(error instanceof TooMuch)) throw error;
      }
      const told = `Not possible: ${titled(s)} ${t.text}; the nearest is ${figure(times(off, HUNDRED))} % off.`;
      const can = flows.length
        ? ` Settings of this board give ${this.page.air(flows[0])} to ${this.page.air(flows[flows.length - 1])} there.`
        : "";
      return [el("p", { class: "told" }, el("b", {}, told), can)];
    });
  }
  warn(r) {
    const { engine } = this.page,
      before = engine.evaluate(r.space.baseline),
      after = engine.evaluate(r.ranked[0].setting);
    const moved = this.table.calls.filter((_, c) => after[c].some((s, i) => text(s.air) !== text(before[c][i].air)));
    return this.table.cautions[(moved.some((c) => c.heats) ? 2 : 0) + (moved.some((c) => c.compressor) ? 1 : 0)];
  }
  one(x, n, targets, space, found, calls) {
    const { page, table } = this,
      start = found ? "as found" : "as delivered",
      { setting } = x;
    const rows = calls.flatMap((call, c) =>
      call.map((s, i) => {
        const mine = targets.filter((t) => t.call === c && t.stage === i),
          words = page.beside(s),
          sum = page.airOrNo(s.air);
        return el(
          "li",
          {},
          el(mine.length ? "b" : "span", {}, titled(s)),
          isNo(s.air) ? el("small", {}, sum) : el("span", { class: "sum" }, sum),
          words ? el("small", {}, words) : null,
          mine.map((t) => el("small", {}, this.aim(t, calls))),
        );
      }),
    );
    const unread = setting.flatMap((at, p) =>
      found && found[p] === null && at !== null && !table.parts[p].unused ? [p] : [],
    );
    const moved = x.moved.filter((p) => !unread.includes(p)).length,
      moves = `${moved} move${moved === 1 ? "" : "s"}`;
    const unsaid = space.searched.filter((p) => space.baseline[p] === null).map((p) => table.parts[p].n);
    const told = unsaid.length
      ? `The table doesn't say how ${unsaid.join(", ")} ${unsaid.length === 1 ? "is" : "are"} delivered: ` +
        `${moved ? `${moves} elsewhere` : "no moves are counted"}.`
      : moved
        ? `${moves} from the board ${start}, drawn above.`
        : `No moves: this is the board ${start}${unread.length ? ", as far as it was tapped" : ""}.`;
    const see = unread.length
      ? el(
          "p",
          { class: "told" },
          "Not tapped, so see that they stand as drawn before power goes on: " +
            unread.map((p) => page.name(p, setting[p])).join(", "),
        )
      : null;
    const loose = table.exclusive
      .flat()
      .filter((p) => setting[p] === null)
      .map((p) => table.parts[p].n);
    const look = loose.length
      ? el(
          "p",
          { class: "told" },
          `Not known where ${loose.join(", ")} stand${loose.length === 1 ? "s" : ""}: look first; ` +
            "two leads on one tap burn the winding.",
        )
      : null;
    const before = space.baseline.map((at, p) => (unread.includes(p) ? null : at));
    return el(
      "li",
      {},
      el("h3", {}, `Setting ${n + 1}: deviation ${figure(times(x.deviation, HUNDRED), 2)} %`),
      new Drawing(table).show(setting, before),
      el("p", {}, told),
      see,
      look,
      el("ul", { class: "calls" }, rows),
      page.pages(calls.flat()),
      el("button", { type: "button", onclick: () => page.put(setting) }, "Take it over as the board"),
    );
  }
  value(t, calls) {
    const s = calls[t.call][t.stage];
    if (isNo(s.air)) return null;
    if (t.quantity === "airflow") return s.air;
    if (t.quantity === "temperature rise") return s.rise;
    if (t.quantity === "airflow per ton") return s.perTon;
    const other = calls[t.of[0]][t.of[1]].air;
    return isNo(other) || !other.n ? null : over(times(HUNDRED, s.air), other);
  }
  aim(t, calls) {
    const value = this.value(t, calls);
    if (!value) return `asked ${t.text}`;
    const off =
      compare(value, t.low) < 0
        ? over(minus(value, t.low), t.low)
        : compare(value, t.high) > 0
          ? over(minus(value, t.high), t.high)
          : ZERO;
    const points = figure(times(off, HUNDRED)),
      got =
        t.quantity === "share" ? `${figure(value)} %, ` : t.quantity === "airflow" ? `${this.page.air(value)}, ` : "";
    const away = points === "0" ? "less than 0.1 % off" : `${off.n > 0 ? "+" : ""}${points} %`;
    return `${got}asked ${t.text}: ${off.n ? away : "met"}`;
  }
  miss(r, targets) {
    const { page } = this,
      { broken, refused, blame, together } = r.miss,
      unknown = !broken.length && refused.length && refused.every((s) => s.air.k >= UNREADABLE);
    const lines = [
      ...refused.map((s) => `${titled(s)}: ${page.airOrNo(s.air)}`),
      ...broken.map(
        ([s, j]) =>
          `the nearest would break a limit of ${titled(s)}: ${page.limit(j)}, ` +
          `${figure(times(j.miss || ZERO, HUNDRED))} % outside`,
      ),
    ];
    if (blame.length) {
      const names = blame.map((p) => page.name(p, this.held.get(p)));
      const which = names.length === 1 ? names[0] : `${together ? "all" : "any one"} of ${names.join(", ")}`;
      lines.push(`a setting fits without holding ${which}`);
    }
    const asked = targets.map((t) => t.text).join(", ");
    return [
      el(
        "p",
        { class: "told" },
        el("b", {}, unknown ? "A fact is missing, so no setting is shown." : "Nothing fits, so no setting is shown."),
      ),
      list(
        lines.length
          ? lines
          : [`Every setting is refused by a row of the manual, or a fact is missing. Asked: ${asked}`],
      ),
    ];
  }
}
