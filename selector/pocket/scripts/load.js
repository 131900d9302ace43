// What the page carries packed (RFC 1951, in base 64), put back: the data and the scripts, one text each.
{
  const inflated = function (bytes, size) {
    const out = new Uint8Array(size);
    let at = 0,
      bit = 0,
      have = 0,
      put = 0;
    const bits = (n) => {
      while (have < n) {
        bit |= bytes[at++] << have;
        have += 8;
      }
      const v = bit & ((1 << n) - 1);
      bit >>>= n;
      have -= n;
      return v;
    };
    const codes = (lengths) => {
      // how many codes of each length, and the signs in the order of their codes
      const count = new Uint16Array(16),
        from = new Uint16Array(16),
        signs = new Uint16Array(lengths.length);
      for (const n of lengths) count[n]++;
      count[0] = 0;
      for (let n = 1; n < 15; n++) from[n + 1] = from[n] + count[n];
      lengths.forEach((n, sign) => {
        if (n) signs[from[n]++] = sign;
      });
      return { count, signs };
    };
    const next = ({ count, signs }) => {
      let code = 0,
        first = 0,
        index = 0;
      for (let n = 1; n < 16; n++) {
        code |= bits(1);
        if (code - count[n] < first) return signs[index + code - first];
        index += count[n];
        first = (first + count[n]) << 1;
        code <<= 1;
      }
      throw new Error("spoilt");
    };
    const steps = (first, each) => {
      // bases and extra bits of lengths and distances
      const base = [],
        extra = [];
      for (let i = 0, b = first; b < 32769; i++) {
        const e = i < 2 * each ? 0 : Math.floor(i / each) - 1;
        base.push(b);
        extra.push(e);
        b += 1 << e;
      }
      return [base, extra];
    };
    const [lengths, longer] = steps(3, 4),
      [distances, farther] = steps(1, 2);
    lengths[28] = 258;
    longer[28] = 0;
    let last = 0;
    while (!last) {
      last = bits(1);
      const kind = bits(2);
      if (!kind) {
        bit = have = 0;
        const n = bytes[at] | (bytes[at + 1] << 8);
        at += 4;
        for (let i = 0; i < n; i++) out[put++] = bytes[at++];
        continue;
      }
      let sizes = [];
      let words = 288;
      if (kind === 1)
        sizes = Array.from({ length: 320 }, (_, i) => (i < 144 ? 8 : i < 256 ? 9 : i < 280 ? 7 : i < 288 ? 8 : 5));
      else {
        words = bits(5) + 257;
        const all = words + bits(5) + 1,
          many = bits(4) + 4,
          order = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15],
          few = new Array(19).fill(0);
        for (let i = 0; i < many; i++) few[order[i]] = bits(3);
        const book = codes(few);
        while (sizes.length < all) {
          const s = next(book);
          if (s < 16) sizes.push(s);
          else {
            const v = s === 16 ? sizes[sizes.length - 1] : 0;
            for (let n = s === 16 ? 3 + bits(2) : s === 17 ? 3 + bits(3) : 11 + bits(7); n; n--) sizes.push(v);
          }
        }
      }
      const book = codes(sizes.slice(0, words)),
        backs = codes(sizes.slice(words));
      for (let s = next(book); s !== 256; s = next(book)) {
        if (s < 256) out[put++] = s;
        else {
          let n = lengths[s - 257] + bits(longer[s - 257]);
          const d = next(backs),
            far = distances[d] + bits(farther[d]);
          for (; n; n--, put++) out[put] = out[put - far];
        }
      }
    }
    return out;
  };
  const packed = document.getElementById("packed"),
    bytes = Uint8Array.from(atob(packed.textContent), (c) => c.charCodeAt(0));
  const texts = new TextDecoder().decode(inflated(bytes, +packed.dataset.size)).split("\0");
  packed.remove();
  for (const [n, id] of ["data", "script"].entries()) {
    const s = document.createElement("script");
    if (!n) s.type = "application/json";
    s.id = id;
    s.textContent = texts[n];
    document.body.append(s);
  }
}
