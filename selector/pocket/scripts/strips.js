// Airflow of every call on one axis, from as set to the setting that is offered, and the rise on the plate.
const STRIP = 40,
  WIDE = 336;
const number = (x) => Number(x.n) / Number(x.d);
function endsOf(s) {
  // the narrowest ends that limits give to an airflow
  let low = -Infinity,
    high = Infinity;
  for (const j of s.judged) {
    if (!j.value || !j.value.n || isNo(s.air)) continue;
    const flow = (end) => (number(s.air) * number(end)) / number(j.value),
      against = (end) => (number(s.air) * number(j.value)) / number(end);
    if (j.quantity === "temperature rise") {
      if (j.high && j.high.n) low = Math.max(low, against(j.high));
      if (j.low && j.low.n) high = Math.min(high, against(j.low));
    } else if (j.quantity === "airflow" || j.quantity === "airflow per ton") {
      if (j.low) low = Math.max(low, flow(j.low));
      if (j.high) high = Math.min(high, flow(j.high));
    }
  }
  return [low, high];
}
function stripsOf(page, before, after, targets) {
  const rows = after.flatMap((call, c) =>
    call.flatMap((s, i) => {
      if (isNo(s.air)) return [];
      const was = before && !isNo(before[c][i].air) ? before[c][i] : null,
        t = targets.find((x) => x.call === c && x.stage === i && x.quantity === "airflow");
      return [
        {
          s,
          was,
          at: number(s.air),
          from: was ? number(was.air) : null,
          aim: t ? number(t.low) : null,
          ends: endsOf(s),
        },
      ];
    }),
  );
  const values = rows.flatMap((r) => [r.at, r.from, r.aim]).filter((x) => x !== null);
  if (!values.length) return null;
  let low = Math.min(...values),
    high = Math.max(...values);
  const room = (high - low || high) * 0.3;
  for (const end of rows.flatMap((r) => r.ends)) {
    if (end > low - room && end < low) low = end;
    if (end < high + room && end > high) high = end;
  }
  const x = (v) => 8 + ((Math.min(Math.max(v, low), high) - low) / (high - low || 1)) * (WIDE - 16),
    out = rows.map((r, n) => stripDrawn(page, r, n * STRIP, x, low, high));
  const bars = new Map();
  for (const r of rows) {
    const j = r.s.judged.find((k) => k.quantity === "temperature rise" && k.low && k.high && k.value);
    if (j) bars.set(`${r.s.call} ${text(j.low)} ${figure(j.value)}`, { ...r, j });
  }
  let y = rows.length * STRIP + 4;
  for (const b of bars.values()) {
    out.push(barDrawn(page, b, y));
    y += 60;
  }
  return drawing(`<g class="strips">${out.join("")}</g>`, WIDE, y);
}
const safeText = (t) => t.replace(/&/g, "&amp;").replace(/</g, "&lt;");
function headDrawn(name, was, now, y, bad) {
  const wide = now.length * 9 + 8,
    ground = bad ? `<path class="i" d="M${WIDE - wide} ${y + 1}h${wide}v17h-${wide}z"/>` : "";
  const before =
    was && was !== now
      ? `<text class="s end" font-size="12" x="${WIDE - wide - 4}" y="${y + 14}">${was} to</text>`
      : "";
  const left = `<text class="start" font-size="13" x="0" y="${y + 14}">${safeText(name)}</text>`,
    kind = `b end${bad ? " q" : ""}`;
  return `${left}${before}${ground}<text class="${kind}" font-size="14" x="${WIDE - 4}" y="${y + 14}">${now}</text>`;
}
function stripDrawn(page, r, y, x, low, high) {
  const [a, b] = r.ends,
    bad = r.at < a || r.at > b,
    mid = y + 29,
    left = a > low ? x(a) : 0,
    right = b < high ? x(b) : WIDE;
  const out = [
    headDrawn(titled(r.s), r.was ? page.whole(r.was.air) : "", page.whole(r.s.air), y, bad),
    `<path class="e" d="M0 ${mid}h${WIDE}"/>`,
  ];
  if (Number.isFinite(a) || Number.isFinite(b)) {
    const ends = `${a > low ? `M${left} ${mid - 7}v14` : ""}${b < high ? `M${right} ${mid - 7}v14` : ""}`;
    out.push(
      `<path class="band" stroke="none" d="M${left} ${mid - 7}H${right}v14H${left}z"/>`,
      `<path stroke-width="1.5" d="M${left} ${mid - 7}H${right}M${left} ${mid + 7}H${right}${ends}"/>`,
    );
  }
  if (r.aim !== null) out.push(`<path stroke-width="1.3" d="M${x(r.aim)} ${mid + 8}V${mid - 7}l-5 -7h10l-5 7"/>`);
  if (r.from !== null && r.from !== r.at)
    out.push(
      `<path stroke-width="2.5" d="M${x(r.from)} ${mid}H${x(r.at)}"/>`,
      ...["q", "before"].map((k) => `<path class="${k}" d="M${x(r.from) - 5} ${mid - 5}h10v10h-10z"/>`),
    );
  if (bad) out.push(`<path stroke-width="5" d="M${x(r.at < a ? a : b)} ${mid}H${x(r.at)}"/>`);
  out.push(`<rect class="i" stroke="none" x="${x(r.at) - 5}" y="${mid - 5}" width="10" height="10"/>`);
  return out.join("");
}
function barDrawn(page, { s, was, j }, y) {
  const degree = page.table.units[1],
    margin = number(page.engine.value(page.table.measure.degree)) * 5,
    [low, high, now] = [j.low, j.high, j.value].map(number),
    before = was && was.rise ? number(was.rise) : null;
  const room = (high - low) * 0.25,
    from = Math.min(low - room, now - 2, before ?? now),
    to = Math.max(high + room, now + 2, before ?? now),
    x = (v) => ((v - from) / (to - from)) * WIDE;
  const mid = y + 38,
    bad = now < low || now > high,
    pointer = (v, kind) => `<path class="${kind}" stroke-width="1.3" d="M${x(v)} ${mid - 7}l-5 -8h10z"/>`;
  const part = (a, b) => `M${x(a)} ${mid - 6}H${x(b)}v12H${x(a)}z`;
  const inner = high - low >= 2 * margin ? [low + margin, high - margin] : [];
  const bands = inner.length
    ? `<path class="band" stroke="none" d="${part(low, inner[0])}${part(inner[1], high)}"/>`
    : "";
  const words = [...inner.map((v) => [v, "s"]), [low, "b"], [high, "b"]].map(
    ([v, k]) => `<text class="${k}" font-size="12" x="${x(v)}" y="${mid + 20}">${+v.toFixed(1)}</text>`,
  );
  return [
    headDrawn(`rise, ${s.call}, ${degree}`, was && was.rise ? figure(was.rise) : "", figure(j.value), y, bad),
    `<path class="e" d="M0 ${mid}h${WIDE}"/>${bands}<path stroke-width="2" d="${part(low, high)}"/>`,
    ...words,
    bad ? `<path stroke-width="6" d="M${x(now < low ? low : high)} ${mid}H${x(now)}"/>` : "",
    before !== null && before !== now ? pointer(before, "before") : "",
    pointer(now, "i"),
  ].join("");
}
