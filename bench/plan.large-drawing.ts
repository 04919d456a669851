/** A DXF text as drawing programs write it: handles, owners, subclass marks, many layers, about 200 bytes an entity. */

/** About `count` entities, shuffled, on 20 layers: rectangles of lines, slots, circles, rounded polylines in a frame. */
export function largeDrawing(count: number): string {
  // 2.4 entities an outline.
  const side = Math.ceil(Math.sqrt(count / 2.4));
  const random = randomFrom(1);
  const entities: string[] = [];
  let handle = 0x200;
  const put = (kind: string, layer: string, mark: string, body: string) => {
    handle++;
    entities.push(
      `  0\r\n${kind}\r\n  5\r\n${handle.toString(16).toUpperCase()}\r\n330\r\n1F\r\n100\r\nAcDbEntity\r\n  8\r\n${layer}\r\n  6\r\nContinuous\r\n 62\r\n   256\r\n370\r\n    25\r\n100\r\n${mark}\r\n${body}`,
    );
  };
  const n = (v: number) => v.toFixed(12);
  const line = (l: string, x1: number, y1: number, x2: number, y2: number) =>
    put(
      "LINE",
      l,
      "AcDbLine",
      ` 10\r\n${n(x1)}\r\n 20\r\n${n(y1)}\r\n 30\r\n0.0\r\n 11\r\n${n(x2)}\r\n 21\r\n${n(y2)}\r\n 31\r\n0.0\r\n`,
    );
  const arc = (
    l: string,
    x: number,
    y: number,
    r: number,
    from: number,
    to: number,
  ) =>
    put(
      "ARC",
      l,
      "AcDbCircle",
      ` 10\r\n${n(x)}\r\n 20\r\n${n(y)}\r\n 30\r\n0.0\r\n 40\r\n${n(r)}\r\n100\r\nAcDbArc\r\n 50\r\n${n(from)}\r\n 51\r\n${n(to)}\r\n`,
    );
  const frame = [
    [-9, -9],
    [12 * side + 9, -9],
    [12 * side + 9, 12 * side + 9],
    [-9, 12 * side + 9],
  ] as const;
  frame.forEach(([x, y], i) => {
    const [u, v] = frame[(i + 1) % 4] ?? [0, 0];
    line("PLATE", x, y, u, v);
  });
  for (let i = 0; i < side && entities.length < count; i++)
    for (let j = 0; j < side && entities.length < count; j++) {
      const layer = `CUT_${(i * 7 + j) % 20}`;
      const x = 12 * i + random();
      const y = 12 * j + random();
      const kind = Math.floor(random() * 6);
      if (kind < 2) {
        line(layer, x, y, x + 8, y);
        line(layer, x + 8, y, x + 8, y + 5);
        line(layer, x + 8, y + 5, x, y + 5);
        line(layer, x, y + 5, x, y);
      } else if (kind < 4) {
        line(layer, x + 2, y, x + 7, y);
        arc(layer, x + 7, y + 2, 2, 270, 90);
        line(layer, x + 7, y + 4, x + 2, y + 4);
        arc(layer, x + 2, y + 2, 2, 90, 270);
      } else if (kind < 5)
        put(
          "CIRCLE",
          layer,
          "AcDbCircle",
          ` 10\r\n${n(x + 4)}\r\n 20\r\n${n(y + 4)}\r\n 30\r\n0.0\r\n 40\r\n${n(1 + 2 * random())}\r\n`,
        );
      else {
        const corners = [
          [0, 0, 0],
          [6, 0, 0.41421356237309503],
          [8, 2, 0],
          [8, 6, 0.41421356237309503],
          [6, 8, 0],
          [0, 8, 0],
        ] as const;
        put(
          "LWPOLYLINE",
          layer,
          "AcDbPolyline",
          ` 90\r\n        6\r\n 70\r\n     1\r\n 43\r\n0.0\r\n${corners.map(([u, v, bulge]) => ` 10\r\n${n(x + u)}\r\n 20\r\n${n(y + v)}\r\n${bulge ? ` 42\r\n${n(bulge)}\r\n` : ""}`).join("")}`,
        );
      }
    }
  shuffle(entities, random);
  const layers = Array.from(
    { length: 20 },
    (_, i) =>
      `  0\r\nLAYER\r\n  5\r\n${(16 + i).toString(16)}\r\n330\r\n2\r\n100\r\nAcDbSymbolTableRecord\r\n100\r\nAcDbLayerTableRecord\r\n  2\r\nCUT_${i}\r\n 70\r\n     0\r\n 62\r\n     7\r\n  6\r\nContinuous\r\n`,
  );
  return [
    "  0\r\nSECTION\r\n  2\r\nHEADER\r\n  9\r\n$ACADVER\r\n  1\r\nAC1027\r\n  9\r\n$INSUNITS\r\n 70\r\n     4\r\n  0\r\nENDSEC\r\n",
    "  0\r\nSECTION\r\n  2\r\nTABLES\r\n  0\r\nTABLE\r\n  2\r\nLAYER\r\n 70\r\n    20\r\n",
    ...layers,
    "  0\r\nENDTAB\r\n  0\r\nENDSEC\r\n  0\r\nSECTION\r\n  2\r\nENTITIES\r\n",
    ...entities,
    "  0\r\nENDSEC\r\n  0\r\nEOF\r\n",
  ].join("");
}

/** Park–Miller: the same drawing for the same seed everywhere. */
function randomFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

function shuffle<T>(items: T[], random: () => number): void {
  for (let i = items.length - 1; i > 0; i--) {
    const k = Math.floor(random() * (i + 1));
    [items[i], items[k]] = [items[k] as T, items[i] as T];
  }
}
