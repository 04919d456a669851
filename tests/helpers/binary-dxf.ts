/** Rewrites DXF text as binary DXF, by the group code value types of the DXF reference. */

const SENTINEL = "AutoCAD Binary DXF\r\n\x1a\0";

/** `narrow`: group codes of one byte, as up to release 12; else two. Characters are written by their low byte. */
export function binaryDxf(text: string, narrow = false): Uint8Array {
  const bytes: number[] = [];
  const put = (size: number, write: (view: DataView) => void): void => {
    const view = new DataView(new ArrayBuffer(size));
    write(view);
    bytes.push(...new Uint8Array(view.buffer));
  };
  const putText = (s: string): void => {
    for (const c of s) bytes.push(c.charCodeAt(0) & 255);
  };
  putText(SENTINEL);
  const lines = text.split("\n");
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]);
    const value = lines[i + 1] as string;
    if (!narrow) put(2, (v) => v.setInt16(0, code, true));
    else if (code < 255) bytes.push(code);
    else {
      bytes.push(255);
      put(2, (v) => v.setInt16(0, code, true));
    }
    if (isIn(code, [310, 319], [1004, 1004])) {
      bytes.push(value.length / 2);
      for (let k = 0; k < value.length; k += 2)
        bytes.push(Number.parseInt(value.slice(k, k + 2), 16));
    } else if (
      isIn(code, [10, 59], [110, 149], [210, 239], [460, 469], [1010, 1059])
    )
      put(8, (v) => v.setFloat64(0, Number(value), true));
    else if (
      isIn(code, [60, 79], [170, 179], [270, 289], [370, 389], [400, 409]) ||
      isIn(code, [1060, 1070])
    )
      put(2, (v) => v.setInt16(0, Number(value), true));
    else if (isIn(code, [90, 99], [420, 429], [440, 459], [1071, 1071]))
      put(4, (v) => v.setInt32(0, Number(value), true));
    else if (isIn(code, [160, 169]))
      put(8, (v) => v.setBigInt64(0, BigInt(value), true));
    else if (isIn(code, [290, 299])) bytes.push(Number(value));
    else {
      putText(value);
      bytes.push(0);
    }
  }
  return Uint8Array.from(bytes);
}

function isIn(code: number, ...ranges: [number, number][]): boolean {
  return ranges.some(([low, high]) => code >= low && code <= high);
}
