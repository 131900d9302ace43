// The settings that answer targets, or the reasons why none does.
const FAR = fraction(15, 100); // further off than this is no answer to what was asked
const FEW_CHOICES = 8; // with more ways than these they are counted

// Moves one after the other, each on one line where it fits.
const unbroken = (names) =>
  names.map((x, n) => [n ? " " : "", el("span", { class: "whole" }, x + (n < names.length - 1 ? "," : ""))]);

class Ranked {
  moves(x) {
    // what moves, in the board's order; `seen`: parts that weren't tapped and must be looked at
    const base = this.base || [],
      { setting } = x;
    const one = this.table.selectors.length === 1,
      name = (p) => {
        const { n } = this.table.parts[p];
        return `${one ? n.slice(n.indexOf("-") + 1) : n} ${word(this.table, p, setting[p])}`;
      };
    const seen = setting.flatMap((at, p) =>
      base[p] === null &&
      at !== null &&
      !this.table.parts[p].unused &&
      this.page.setting[p] === null &&
      this.page.setting.some((y) => y !== null)
        ? [p]
        : [],
    );
    const moved = x.moved.filter((p) => !seen.includes(p));
    const names = moved.map(name);
    return { moved, text: names.join(", "), whole: () => unbroken(names), seen: seen.map(name) };
  }
  ranked(r, targets, found, calls) {
    const { page } = this,
      { engine } = page,
      rows = r.ranked.map((x, n) => {
        const all = n === this.at ? calls : engine.evaluate(x.setting),
          { whole } = this.moves(x);
        const off =
          targets.length === 1 ? this.aim(targets[0], all) : `${figure(times(x.deviation, HUNDRED), 1)} % off`;
        const gives = targets.map((t) => page.airOrNo(all[t.call][t.stage].air)).join(", ");
        const pick = () => {
          this.at = n;
          this.seek();
        };
        return el(
          "li",
          {},
          el(
            "button",
            { type: "button", class: "rank", "aria-pressed": String(n === this.at), onclick: pick },
            el("span", {}, n + 1),
            el("span", {}, whole().length ? whole() : "as set"),
            el("span", {}, off, el("small", {}, gives)),
          ),
        );
      });
    const x = r.ranked[Math.min(this.at, r.ranked.length - 1)],
      { seen } = this.moves(x);
    const out = [page.warned(), this.far(r, targets, calls), el("ol", { class: "ranks" }, rows)];
    const loose = this.table.exclusive
      .flat()
      .filter((p) => x.setting[p] === null)
      .map((p) => this.table.parts[p].n);
    if (seen.length) out.push(el("p", { class: "told" }, `Not tapped; see that they are so: ${seen.join(", ")}`));
    if (loose.length) {
      out.push(
        el("p", { class: "told" }, `Find lead ${loose.join(", ")} first: two leads on one tap burn the winding.`),
      );
    }
    if (!found)
      out.push(el("p", { class: "pad small" }, "Moves are counted from the factory setting: nothing is tapped."));
    if (r.space.unsaid.length) {
      out.push(el("p", { class: "pad small" }, `Left alone, equipment not known: ${r.space.unsaid.join(", ")}`));
    }
    const facts = [...r.space.fixed].filter(([, [, why]]) => why === "fact").map(([p, [at]]) => page.name(p, at));
    if (facts.length) out.push(el("p", { class: "pad small" }, `Set to match the equipment: ${facts.join(", ")}`));
    const [lower, other] = this.unasked(targets, calls);
    out.push(lower, (this.deed = this.doing(x)), other);
    if (rows.length > 1) {
      const near = figure(times(NEAR, HUNDRED));
      out.push(el("p", { class: "pad small" }, `Order: nearest first; within ${near} point, fewest moves first.`));
    }
    const drawn = stripsOf(page, found ? engine.evaluate(this.base ?? found) : null, calls, targets);
    if (drawn) {
      const title = found ? "As set to this setting" : "What this setting gives";
      out.push(
        el(
          "details",
          { class: "notes strip-box", open: page.wide() },
          el("summary", {}, `${title}, ${page.unit}`),
          el("div", { class: "pad" }, drawn),
        ),
      );
    }
    out.push(this.anyOf(r, x));
    if (r.nearer) out.push(this.nearer(r.nearer));
    const open = page.unjudged(r.notJudged),
      taken = page.assumed(calls.flat());
    out.push(...taken.map((said) => el("p", { class: "pad small" }, said)));
    if (open.length)
      out.push(el("details", { class: "notes" }, el("summary", {}, `${open.length} not checked`), list(open)));
    out.push(
      el(
        "details",
        { class: "notes" },
        el("summary", {}, "Before you touch the board"),
        list(this.warn(r), "ul", { class: "cautions" }),
      ),
    );
    return out;
  }
  unasked(targets, calls) {
    // the calls without a target whose airflow changes; heat that loses airflow first
    const { page, table } = this,
      before = page.engine.evaluate(this.base),
      asked = new Set(targets.map((t) => t.call)),
      lower = [],
      other = [];
    table.calls.forEach((call, c) => {
      calls[c].forEach((s, i) => {
        const was = before[c][i].air;
        if (asked.has(c) || isNo(was) || (!isNo(s.air) && page.whole(s.air) === page.whole(was))) return;
        const said = `${titled(s)} ${page.whole(was)} to ${isNo(s.air) ? shortNo(s.air.k) : page.air(s.air, 0)}`;
        (call.heats && (isNo(s.air) || compare(s.air, was) < 0) ? lower : other).push(said);
      });
    });
    return [
      lower.length
        ? el("p", { class: "told reverse" }, el("b", {}, `Less air for heat, not asked for: ${lower.join(", ")}`))
        : "",
      other.length ? el("p", { class: "told" }, `Not asked for, changes too: ${other.join(", ")}`) : "",
    ];
  }
  doing(x) {
    // one action; what it asks stands in its own place
    const { page } = this;
    if (page.stopped) return el("p", { class: "told" }, page.rules.stays);
    const { text: what, whole } = this.moves(x),
      box = el("div", { class: "do" }),
      act = what ? ["Use this setting: ", whole()] : "Use this setting";
    const yes = () => {
      page.put(x.setting, `${what ? `Set: ${what}.` : "Nothing to move."} ${this.kept(x)}`);
      this.at = 0;
      page.go("read");
      page.status.textContent = what ? `Set: ${what}` : "Nothing to move";
    };
    const ask = () => {
      box.replaceChildren(
        el("p", {}, el("b", {}, "Power off? "), what ? ["Then set ", whole(), "."] : "Nothing moves."),
        button("No", () => back(), { class: "act" }),
        button("Yes", yes, { class: "act" }),
      );
      box.querySelector("button").focus();
    };
    const back = () => {
      box.replaceChildren(button(act, ask, { class: "act" }));
    };
    back();
    return box;
  }
  kept(x) {
    const all = this.page.engine
      .evaluate(x.setting)
      .flat()
      .flatMap((s) => s.judged);
    const open = new Set(all.filter((j) => j.ok === null).map((j) => j.quantity));
    return `Limits kept${open.size ? `; not checked: ${[...open].join(", ")}` : ""}.`;
  }
  anyOf(r, x) {
    // what else may stand where no target reads it, worked out when it is asked for
    const { table } = this,
      box = el("div", { class: "pad" });
    const said = ({ parts, choices }) => {
      const names = parts.map((p) => table.parts[p].n).join(" "),
        ways = choices.map((way) => way.map((at, n) => word(table, parts[n], at)).join(" "));
      const few = ways.length && ways.length <= FEW_CHOICES;
      return `${names} ${few ? ways.join(", ").replace(/, (?=[^,]*$)/, " or ") : `${ways.length || "many"} ways`}`;
    };
    const fill = (e) => {
      if (!e.target.open || box.firstChild) return;
      const all = otherwise(r.search, x.setting).map(said);
      box.append(all.length ? list(all) : el("p", {}, "Nothing else: every other position changes a target."));
    };
    return el(
      "details",
      { class: "notes", ontoggle: fill },
      el("summary", {}, "Any of, as no target reads them"),
      box,
    );
  }
  nearer(one) {
    const { page } = this;
    const broken = page.engine
      .evaluate(one.setting)
      .flat()
      .flatMap((s) => s.judged.filter((j) => j.ok === false).map((j) => `${titled(s)}: ${page.limit(j)}`));
    return el(
      "details",
      { class: "notes" },
      el("summary", {}, `Closer, but breaks a limit: ${figure(times(one.deviation, HUNDRED), 1)} % off`),
      list(broken),
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
      const aside = (x) => compare(beyond(x, t.low, t.high), FAR) <= 0,
        known = t.quantity === "airflow" && flows.length > 0,
        never = known && !flows.some(aside) ? " is not to be had" : "";
      const told = `${titled(s)} ${t.text}${never}: this setting is ${figure(times(off, HUNDRED))} % off.`;
      const can = flows.length
        ? ` Range ${this.page.whole(flows[0])} to ${this.page.air(flows[flows.length - 1], 0)}.`
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
  value(t, calls) {
    const s = calls[t.call][t.stage];
    if (isNo(s.air)) return null;
    if (t.quantity === "airflow") return s.air;
    if (t.quantity === "temperature rise") return s.rise;
    if (t.quantity === "airflow per ton") return s.perTon;
    const other = calls[t.of[0]][t.of[1]].air;
    return isNo(other) || !other.n ? null : over(times(HUNDRED, s.air), other);
  }
  percent(value, t) {
    const off =
      compare(value, t.low) < 0
        ? over(minus(value, t.low), t.low)
        : compare(value, t.high) > 0
          ? over(minus(value, t.high), t.high)
          : ZERO;
    if (!off.n) return "0 %";
    const points = figure(times(off, HUNDRED)),
      size = points.replace("-", "");
    return `${off.n < 0 ? "\u2212" : "+"}${size === "0" ? "<0.1" : size} %`;
  }
  aim(t, calls) {
    const value = this.value(t, calls);
    return value ? this.percent(value, t) : "";
  }
  oneTap() {
    // leads that are held on one tap and may not be: no setting can have them there
    const { parts } = this.table,
      at = parts.map((_, p) => this.held.get(p) ?? null),
      open = new Set([...at.keys()].filter((p) => at[p] === null));
    return [...this.page.engine.clash(at, open)]
      .filter(([a, b]) => a < b)
      .map(([a, b]) => `${parts[a].n} and ${parts[b].n} held on tap ${word(this.table, a, at[a])}: one lead a tap.`);
  }
  miss(r, targets) {
    const { page } = this,
      { broken, refused, blame, together } = r.miss;
    const unknown = !broken.length && refused.length && refused.every((s) => s.air.k >= UNREADABLE);
    const lines = [
      ...refused.map((s) => `${titled(s)}: ${page.airOrNo(s.air)}`),
      ...broken.map(([s, j]) => `${titled(s)}: ${page.limit(j)}, ${figure(times(j.miss || ZERO, HUNDRED))} % outside`),
    ];
    const wants = refused.map((s) => page.wanted(s.air.w)).filter((x) => x);
    const head = unknown ? `Not known: ${wants[0] || plain(refused[0].air.w)}.` : "Nothing fits.";
    const worst = broken.map(([s, j]) => `${titled(s)}: ${page.short(j)}`);
    if (this.first) this.first.miss = true;
    const out = [
      el(
        "div",
        { class: `verdict ${unknown ? "" : "reverse"}` },
        el("b", {}, head),
        this.oneTap().map((w) => el("p", {}, w)),
        [...new Set(worst.length ? worst : refused.map((s) => `${titled(s)}: ${page.airOrNo(s.air)}`))].map((w) =>
          el("p", {}, w),
        ),
      ),
    ];
    if (wants.length)
      out.push(
        el(
          "div",
          { class: "do" },
          button(`Type ${wants[0]}`, () => page.jump(wants[0]), { class: "act" }),
        ),
      );
    const name = (p) => page.name(p, this.held.get(p)),
      free = (ps) => {
        ps.forEach((p) => this.held.delete(p));
        this.seek();
      };
    if (blame.length) {
      out.push(el("h3", { class: "pad" }, "A setting fits without holding"));
      out.push(
        el(
          "ol",
          { class: "ranks" },
          (together ? [blame] : blame.map((p) => [p])).map((ps) =>
            el(
              "li",
              {},
              button(
                [el("span"), el("span", {}, `Release ${ps.map(name).join(" and ")}`), el("span")],
                () => free(ps),
                { class: "rank" },
              ),
            ),
          ),
        ),
      );
    }
    lines.push(...this.oneTap());
    const why = lines.length
      ? lines
      : [`Every setting is not usable, or a fact is not known. Target: ${targets.map((t) => t.text).join(", ")}`];
    out.push(el("details", { class: "notes" }, el("summary", {}, "Why"), list(why)));
    return out;
  }
}
