// A text as squares that a camera reads (ISO/IEC 18004): bytes, level L, versions 1 to 25, mask 0.
const QR_CHECK = [7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28, 28, 28, 30, 30, 26];
const QR_BLOCKS = [1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8, 8, 9, 9, 10, 12];
function modulesOf(v) {
  let n = (16 * v + 128) * v + 64;
  if (v >= 2) {
    const a = Math.floor(v / 7) + 2;
    n -= (25 * a - 10) * a - 55;
    if (v >= 7) n -= 36;
  }
  return n >> 3;
}
function field(x, y) {
  // a product of GF(256)
  let z = 0;
  for (let i = 7; i >= 0; i--) z = (z << 1) ^ ((z >> 7) * 0x11d) ^ (((y >> i) & 1) * x);
  return z;
}
function checked(data, count) {
  const by = new Array(count).fill(0);
  by[count - 1] = 1;
  for (let i = 0, r = 1; i < count; i++, r = field(r, 2))
    for (let j = 0; j < count; j++) by[j] = field(by[j], r) ^ (by[j + 1] || 0);
  const rest = new Array(count).fill(0);
  for (const b of data) {
    const f = b ^ rest.shift();
    rest.push(0);
    by.forEach((x, i) => {
      rest[i] ^= field(x, f);
    });
  }
  return rest;
}
function squares(text) {
  const bytes = [...new TextEncoder().encode(text)];
  let v = 1;
  const room = (n) => modulesOf(n) - QR_CHECK[n - 1] * QR_BLOCKS[n - 1];
  while (v <= 25 && room(v) * 8 < 4 + (v > 9 ? 16 : 8) + bytes.length * 8) v++;
  if (v > 25) return null;
  const bits = [],
    put = (x, n) => {
      for (let i = n - 1; i >= 0; i--) bits.push((x >> i) & 1);
    };
  put(4, 4);
  put(bytes.length, v > 9 ? 16 : 8);
  bytes.forEach((b) => put(b, 8));
  put(0, Math.min(4, room(v) * 8 - bits.length));
  while (bits.length % 8) bits.push(0);
  for (let pad = 0xec; bits.length < room(v) * 8; pad ^= 0xfd) put(pad, 8);
  const words = [];
  for (let i = 0; i < bits.length; i += 8) words.push(bits.slice(i, i + 8).reduce((a, b) => a * 2 + b, 0));
  const count = QR_BLOCKS[v - 1],
    check = QR_CHECK[v - 1],
    long = modulesOf(v) % count,
    size = Math.floor(modulesOf(v) / count) - check,
    blocks = [];
  for (let i = 0, at = 0; i < count; i++) {
    const data = words.slice(at, (at += size + (i < count - long ? 0 : 1)));
    blocks.push([data, checked(data, check)]);
  }
  const all = [];
  for (let i = 0; i <= size; i++) for (const [d] of blocks) if (i < d.length) all.push(d[i]);
  for (let i = 0; i < check; i++) for (const [, c] of blocks) all.push(c[i]);
  return drawnSquares(v, all);
}
function drawnSquares(v, words) {
  const n = v * 4 + 17,
    grid = Array.from({ length: n }, () => new Array(n).fill(null));
  const set = (x, y, dark) => {
    if (x >= 0 && y >= 0 && x < n && y < n) grid[y][x] = dark;
  };
  for (const [cx, cy] of [
    [3, 3],
    [n - 4, 3],
    [3, n - 4],
  ])
    for (let y = -4; y <= 4; y++)
      for (let x = -4; x <= 4; x++) {
        const far = Math.max(Math.abs(x), Math.abs(y));
        set(cx + x, cy + y, far !== 2 && far !== 4);
      }
  for (let i = 8; i < n - 8; i++) {
    set(i, 6, i % 2 === 0);
    set(6, i, i % 2 === 0);
  }
  const marks = [];
  if (v > 1) {
    const a = Math.floor(v / 7) + 2,
      step = Math.ceil((v * 4 + 4) / (a * 2 - 2)) * 2;
    for (let i = 0; i < a - 1; i++) marks.unshift(n - 7 - i * step);
    marks.unshift(6);
  }
  for (const cx of marks)
    for (const cy of marks) {
      if ((cx === 6 && (cy === 6 || cy === n - 7)) || (cx === n - 7 && cy === 6)) continue;
      for (let y = -2; y <= 2; y++)
        for (let x = -2; x <= 2; x++) set(cx + x, cy + y, Math.max(Math.abs(x), Math.abs(y)) !== 1);
    }
  let rest = 8 << 10; // level L, mask 0
  for (let i = 14; i >= 10; i--) if ((rest >> i) & 1) rest ^= 0x537 << (i - 10);
  const form = ((8 << 10) | rest) ^ 0x5412,
    bit = (x, i) => Boolean((x >> i) & 1);
  for (let i = 0; i < 15; i++) {
    const at = i < 6 ? i : i < 8 ? i + 1 : n - 15 + i;
    set(8, at, bit(form, i));
    set(i < 8 ? n - 1 - i : i < 9 ? 7 : 14 - i, 8, bit(form, i));
  }
  set(8, n - 8, true);
  if (v >= 7) {
    let r = v << 12;
    for (let i = 17; i >= 12; i--) if ((r >> i) & 1) r ^= 0x1f25 << (i - 12);
    const info = (v << 12) | r;
    for (let i = 0; i < 18; i++) {
      set(n - 11 + (i % 3), Math.floor(i / 3), bit(info, i));
      set(Math.floor(i / 3), n - 11 + (i % 3), bit(info, i));
    }
  }
  let at = 0;
  for (let right = n - 1; right > 0; right -= 2) {
    if (right === 6) right = 5;
    for (let k = 0; k < n; k++)
      for (let j = 0; j < 2; j++) {
        const x = right - j,
          up = ((right + 1) & 2) === 0,
          y = up ? n - 1 - k : k;
        if (grid[y][x] !== null) continue;
        const dark = at < words.length * 8 && bit(words[at >> 3], 7 - (at & 7));
        grid[y][x] = dark !== ((x + y) % 2 === 0);
        at++;
      }
  }
  return grid;
}
