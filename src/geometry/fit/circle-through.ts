/** The circle that many points lie nearest to. */
import type { Vec } from "../vec.js";

/** The circle of least squares (Kåsa 1976): x² + y² + ax + by + c = 0, about the mean. `null` for points on a line. */
export function circleThrough(
  points: readonly Vec[],
): { center: Vec; radius: number } | null {
  const n = points.length;
  const mx = points.reduce((sum, p) => sum + p.x, 0) / n;
  const my = points.reduce((sum, p) => sum + p.y, 0) / n;
  let [uu, uv, vv, uw, vw, ww] = [0, 0, 0, 0, 0, 0];
  for (const p of points) {
    const u = p.x - mx;
    const v = p.y - my;
    const w = u * u + v * v;
    uu += u * u;
    uv += u * v;
    vv += v * v;
    uw += u * w;
    vw += v * w;
    ww += w;
  }
  const d = 2 * (uu * vv - uv * uv);
  if (d === 0) return null;
  const x = (uw * vv - vw * uv) / d;
  const y = (vw * uu - uw * uv) / d;
  return {
    center: { x: mx + x, y: my + y },
    radius: Math.sqrt(x * x + y * y + ww / n),
  };
}
