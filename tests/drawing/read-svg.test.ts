import { describe, expect, it } from "vitest";
import { InputError } from "../../src/base/finding.js";
import type { Drawing } from "../../src/drawing/drawing.js";
import { readDrawing } from "../../src/drawing/read-drawing.js";
import { readSvg } from "../../src/drawing/read-svg.js";
import { contourArea, contourLength } from "../../src/geometry/contour.js";
import { chainFaults, worstOff } from "../helpers/nearness.js";
import { type SvgParts, svgText } from "../helpers/svg.js";

const read = (content: string, parts?: SvgParts): Drawing =>
  readSvg(svgText(content, parts));

/** The one outline that is drawn. */
function outlineOf(content: string, parts?: SvgParts) {
  const { outlines, open, findings } = read(content, parts);
  expect(findings).toEqual([]);
  expect(open).toEqual([]);
  expect(outlines).toHaveLength(1);
  const contour = (outlines[0] as Drawing["outlines"][number]).contour;
  expect(chainFaults(contour)).toEqual([]);
  const kinds = contour.segments.map((s) => s.kind[0]).join("");
  return {
    contour,
    kinds,
    area: contourArea(contour),
    perimeter: contourLength(contour),
  };
}

function refusal(make: () => unknown): InputError {
  try {
    make();
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return error as InputError;
  }
  throw new Error("was not refused");
}

const { PI } = Math;

describe("the shapes of SVG are read exactly", () => {
  // Areas and perimeters by hand from the dimensions written in the element.
  it.each([
    ["a rectangle", '<rect x="1" y="2" width="30" height="20"/>', 600, 100],
    [
      "a rounded rectangle",
      '<rect x="1" y="2" width="30" height="20" rx="3"/>',
      600 - (4 - PI) * 9,
      100 - 24 + 6 * PI,
    ],
    [
      "a rectangle rounded by more than half its side",
      '<rect width="30" height="20" ry="50" rx="10"/>',
      200 + 100 * PI,
      20 + 20 * PI,
    ],
    ["a circle", '<circle cx="9" cy="-3" r="5"/>', 25 * PI, 10 * PI],
    ["a polygon", '<polygon points="0,0 30,0,30 40"/>', 600, 120],
    [
      "a polyline that comes back",
      '<polyline points="0 0 30 0 30 40 0 0"/>',
      600,
      120,
    ],
    [
      "four lines",
      '<line x2="30"/><line x1="30" x2="30" y2="20"/><line y2="20"/><line y1="20" x2="30" y2="20"/>',
      600,
      100,
    ],
    ["a path of lines", '<path d="M10,10h30v20H10Z"/>', 600, 100],
    [
      "relative moves with commands left out",
      '<path d="m10 10 30 0 0 20 -30 0z"/>',
      600,
      100,
    ],
    [
      "numbers without a space between",
      '<path d="M10-.5.5.5l-9.5-.5.5-1e1z"/>',
      // (10, −0.5), (0.5, 0.5), (−9, 0), (−8.5, −10)
      0.5 *
        Math.abs(
          10 * 0.5 -
            0.5 * -0.5 +
            (0.5 * 0 - -9 * 0.5) +
            (-9 * -10 - 0) +
            (-8.5 * -0.5 - 10 * -10),
        ),
      Math.hypot(9.5, 1) +
        Math.hypot(9.5, 0.5) +
        Math.hypot(0.5, 10) +
        Math.hypot(18.5, 9.5),
    ],
    [
      "two half circles, flags without spaces",
      '<path d="M0 5A5 5 0 0110 5 5 5 0 010 5z"/>',
      25 * PI,
      10 * PI,
    ],
    [
      "the large arc of a circle of radius 5 over a chord of 6, and its chord",
      // The centre is 4 from the chord; the arc turns 2π − 2·asin(0.6).
      '<path d="M0 0a5 5 0 1 1 6 0z"/>',
      12.5 * (2 * PI - 2 * Math.asin(0.6)) + 12,
      5 * (2 * PI - 2 * Math.asin(0.6)) + 6,
    ],
    [
      "the small arc of the same circle",
      '<path d="M0 0a5 5 0 0 0 6 0z"/>',
      12.5 * 2 * Math.asin(0.6) - 12,
      10 * Math.asin(0.6) + 6,
    ],
    [
      "radii too small for the chord, which grow to reach",
      '<path d="M0 0A1 1 0 0 0 10 0z"/>',
      12.5 * PI,
      5 * PI + 10,
    ],
    [
      "a circle drawn as one arc that falls short of its start",
      '<path d="M0 5A5 5 0 1 0 0 4.999Z"/>',
      25 * PI,
      10 * PI,
    ],
  ])("%s", (_, content, area, perimeter) => {
    const outline = outlineOf(content);
    expect(outline.area / area).toBeCloseTo(1, 9);
    expect(outline.perimeter / perimeter).toBeCloseTo(1, 9);
  });

  it("a path of several outlines gives each of them", () => {
    const { outlines } = read(
      '<path d="M0 0h40v40h-40zm10 10h5v5h-5zM30 30h5v5h-5z"/>',
    );
    expect(outlines.map((o) => contourArea(o.contour))).toEqual([1600, 25, 25]);
    expect(outlines.map((o) => o.depth)).toEqual([0, 1, 1]);
    // After z the next relative move counts from the start of the outline before.
    const ys = outlines[1]?.contour.segments.map((s) => s.start.y) ?? [];
    expect([Math.min(...ys), Math.max(...ys)]).toEqual([85, 90]);
  });

  it("lines up the page's lower left corner with the origin and turns y upwards", () => {
    const { outlines } = read('<path d="M0 100h40v-20z"/>');
    expect(outlines[0]?.contour.segments.map((s) => s.start)).toEqual([
      { x: 0, y: 0 },
      { x: 40, y: 0 },
      { x: 40, y: 20 },
    ]);
  });

  it("without length are told, not drawn", () => {
    const { outlines, repairs } = read(
      '<circle r="20" cx="50" cy="50"/><circle cx="1" cy="99"/><path d="M5 95z"/><line x1="3" x2="3" y1="7" y2="7"/><path d=""/><path/>',
    );
    expect(outlines).toHaveLength(1);
    expect(repairs.map((r) => [r.kind, ...r.at])).toEqual([
      ["zero-length-dropped", 1, 1],
      ["zero-length-dropped", 5, 5],
      ["zero-length-dropped", 3, 93],
    ]);
  });
});

describe("curves", () => {
  const ellipse = (t: number) => ({ x: 30 * Math.cos(t), y: 10 * Math.sin(t) });
  const around = Array.from({ length: 4001 }, (_, i) =>
    ellipse((i * 2 * PI) / 4000),
  );

  it.each([
    ["an ellipse", '<ellipse cx="50" cy="50" rx="30" ry="10"/>'],
    [
      "two elliptical arcs",
      '<path d="M20 50a30 10 0 1 1 60 0 30 10 0 1 1-60 0z"/>',
    ],
    [
      "elliptical arcs about turned axes",
      '<path d="M20 50a10 30 90 0 1 60 0 10 30 -90 0 1-60 0z"/>',
    ],
    [
      "a circle scaled unevenly",
      '<circle r="1" transform="translate(50 50) scale(30,10)"/>',
    ],
    [
      "a circle skewed into it",
      // An ellipse with half axes 30 and 10: x = 30 cos, y = 10 sin; the skews below undo each other but for the scale.
      '<g transform="matrix(30 0 0 10 50 50)"><g transform="skewX(20)"><path transform="skewX(-20)" d="M1 0A1 1 0 0 0-1 0 1 1 0 0 0 1 0z"/></g></g>',
    ],
  ])(
    "%s of half axes 30 and 10 is within 0.3 µm of the true curve",
    (_, content) => {
      const { contour, area } = outlineOf(content);
      const moved = around.map(({ x, y }) => ({ x: x + 50, y: y + 50 }));
      expect(worstOff(contour.segments, moved)).toBeLessThan(0.0003);
      // π·a·b, and the strip of the fit around it.
      expect(Math.abs(area - 300 * PI)).toBeLessThan(0.0003 * 140);
    },
  );

  it("Bézier curves of degree 2 and 3, smooth joints too, are within 0.3 µm", () => {
    const { open } = read(
      '<path d="M0 100Q10 60 20 100T40 100C50 140 60 60 70 100S90 60 90 100"/>',
    );
    const quad = (p: number[], t: number) =>
      (p[0] as number) * (1 - t) ** 2 +
      2 * (p[1] as number) * t * (1 - t) +
      (p[2] as number) * t * t;
    const cubic = (p: number[], t: number) =>
      (p[0] as number) * (1 - t) ** 3 +
      3 * (p[1] as number) * t * (1 - t) ** 2 +
      3 * (p[2] as number) * t * t * (1 - t) +
      (p[3] as number) * t ** 3;
    const ts = Array.from({ length: 500 }, (_, i) => i / 499);
    // y turned upwards; reflected control points by hand: (30, 140) after Q, (80, 140) after C.
    const points = ts.flatMap((t) => [
      { x: quad([0, 10, 20], t), y: quad([0, 40, 0], t) },
      { x: quad([20, 30, 40], t), y: quad([0, -40, 0], t) },
      { x: cubic([40, 50, 60, 70], t), y: cubic([0, -40, 40, 0], t) },
      { x: cubic([70, 80, 90, 90], t), y: cubic([0, -40, 40, 0], t) },
    ]);
    expect(open).toHaveLength(1);
    expect(worstOff(open[0]?.contour.segments ?? [], points)).toBeLessThan(
      0.0003,
    );
    // A quadratic curve of three points spans an area of two thirds of their triangle.
    const { area } = outlineOf('<path d="M0 100Q10 60 20 100z"/>');
    expect(area).toBeCloseTo((2 / 3) * 400, 2);
  });

  it("straight ones are lines", () => {
    expect(outlineOf('<path d="M0 0C5 0 8 0 30 0Q30 3 30 20z"/>').kinds).toBe(
      "lll",
    );
  });
});

describe("transforms", () => {
  it.each([
    ["rotate(30)", 1],
    ["rotate(30 7 -3)", 1],
    ["translate(5)", 1],
    ["scale(-2)", 4],
    ["scale(1.5 -1.5)", 2.25],
    ["matrix(0 3 3 0 1 1)", 9],
    ["translate(1,2) rotate(-77.7), scale(.5)\n", 0.25],
  ])("%s keeps circular arcs exact", (transform, factor) => {
    const { contour, area } = outlineOf(
      `<g transform="${transform}"><path d="M0 0a5 5 0 1 1 6 0z"/></g>`,
    );
    const arcs = contour.segments.filter((s) => s.kind === "arc");
    expect(contour.segments.length - arcs.length).toBe(1);
    for (const arc of arcs)
      expect(arc.kind === "arc" && arc.radius).toBeCloseTo(
        5 * Math.sqrt(factor),
        9,
      );
    const drawn = 12.5 * (2 * PI - 2 * Math.asin(0.6)) + 12;
    expect(area / (drawn * factor)).toBeCloseTo(1, 9);
  });

  it("nest, the innermost first to act", () => {
    const { outlines } = read(
      '<g transform="translate(10 0)"><g transform="scale(2)"><rect transform="translate(5 5)" width="1" height="1"/></g></g>',
    );
    const xs = outlines[0]?.contour.segments.map((s) => s.start.x) ?? [];
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([20, 22]);
  });

  it.each([
    ["shear(3)", "transform"],
    ["rotate(3", "transform"],
    ["scale(1 2 3)", "transform"],
  ])("%s is refused for its element, with the line", (transform, word) => {
    const { findings, outlines } = read(
      `<circle r="3"/>\n<rect transform="${transform}" width="10" height="10"/>`,
    );
    expect(outlines).toHaveLength(1);
    expect(findings[0]?.severity).toBe("error");
    expect(findings[0]?.message).toContain("line 3");
    expect(findings[0]?.message).toContain(word);
  });
});

describe("the size of an SVG drawing", () => {
  const square = '<rect width="10" height="10"/>';
  const areaWith = (root: string) => {
    const { outlines, units, findings } = read(square, { root });
    return {
      area: contourArea(outlines[0]?.contour as never),
      units,
      findings,
    };
  };

  // Check value 18: 1 in is 25.4 mm; 72 pt, 6 pc and 96 px are 1 in (CSS Values 3).
  it.each([
    ['width="100mm" viewBox="0 0 100 50"', 1],
    ['height="50mm" viewBox="0 0 100 50"', 1],
    ['width="10cm" height="5cm" viewBox="0 0 100 50"', 1],
    ['width="400Q" height="200Q" viewBox="-7 3 100 50"', 1],
    ['width="4in" height="2in" viewBox="0 0 4 2"', 25.4],
    ['width="72pt" height="72pt" viewBox="0 0 1 1"', 25.4],
    ['width="6pc" height="6pc" viewBox="0,0,1,1"', 25.4],
    [
      'width="210mm" height="297mm" viewBox="0 0 793.7007874 1122.519685"',
      25.4 / 96,
    ],
  ])("by %s", (root, scale) => {
    const { area, units, findings } = areaWith(root);
    expect(Math.sqrt(area) / 10 / scale).toBeCloseTo(1, 8);
    expect(units.toMm / scale).toBeCloseTo(1, 8);
    expect(units.source).toContain("viewBox");
    expect(findings).toEqual([]);
  });

  it("fills the page by the smaller scale, the larger one, or each its own", () => {
    const root = (rule: string) =>
      `width="200mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="${rule}"`;
    expect(areaWith(root("xMidYMid")).area).toBeCloseTo(100, 9);
    expect(areaWith(root("xMinYMax slice")).area).toBeCloseTo(400, 9);
    const uneven = areaWith(root("none"));
    expect(uneven.area).toBeCloseTo(200, 9);
    expect(uneven.findings.map((f) => f.code)).toEqual([
      "drawing/uneven-scale",
    ]);
  });

  it.each([
    ['width="100" height="50" viewBox="0 0 100 50"'],
    ['width="100%" height="100%" viewBox="0 0 100 50"'],
    ['viewBox="0 0 100 50"'],
    [""],
  ])("is asked for when the root says no more than '%s'", (root) => {
    const { code, message } = refusal(() =>
      read('<rect width="80" height="40"/>', { root }),
    );
    expect(code).toBe("drawing/no-unit");
    expect(message).toContain("--units mm (the drawing is then 80 × 40 mm)");
    expect(message).toContain(
      "--units in (the drawing is then 2032 × 1016 mm)",
    );
    expect(message).toContain(
      "--units px (the drawing is then 21.167 × 10.583 mm)",
    );
    expect(message).toContain("mm is the likelier");
    const text = svgText(square, { root });
    const given = readSvg(text, { unit: "in" });
    expect(contourArea(given.outlines[0]?.contour as never)).toBeCloseTo(
      254 ** 2,
      6,
    );
    const fallback = readSvg(text, { fallbackUnit: "mm" });
    expect(contourArea(fallback.outlines[0]?.contour as never)).toBeCloseTo(
      100,
      9,
    );
  });

  it("in px is 1/96 in each, with a warning; so is a unit without a viewBox", () => {
    for (const root of [
      'width="100px" height="50px" viewBox="0 0 100 50"',
      'width="100mm" height="50mm"',
    ]) {
      const { area, findings } = areaWith(root);
      expect(area).toBeCloseTo((254 / 96) ** 2, 9);
      expect(findings.map((f) => [f.code, f.severity])).toEqual([
        ["drawing/px-unit", "warning"],
      ]);
    }
  });

  it("given by the caller rules, with a warning when the drawing disagrees", () => {
    const text = svgText(square);
    const { outlines, findings } = readSvg(text, { unit: "in" });
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(254 ** 2, 6);
    expect(findings.map((f) => f.code)).toEqual(["drawing/unit-overridden"]);
    expect(readSvg(text, { unit: "mm" }).findings).toEqual([]);
  });

  it("of a shape may be physical too, or a share of the page", () => {
    expect(outlineOf('<rect width="2in" height="50%"/>').area).toBeCloseTo(
      ((2 * 96) as number) * 50,
      9,
    );
    const { findings } = read('<rect width="2em" height="5"/>');
    expect(findings[0]?.message).toContain('"2em"');
  });
});

describe("layers of an SVG drawing", () => {
  const square = (at: number) => `<rect x="${at}" width="5" height="5"/>`;

  it("are the groups that call themselves layers, else the outermost groups with a name", () => {
    const { layers, outlines } = read(
      `<g id="DIE">${square(0)}<g id="g12">${square(10)}</g></g>
       <g id="layer1" inkscape:groupmode="layer" inkscape:label="Platte ö"><g id="g7">${square(20)}</g></g>
       <g>${square(30)}</g>`,
      {
        root: 'width="200mm" viewBox="0 0 200 100" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"',
      },
    );
    expect(outlines.map((o) => o.layer)).toEqual([
      "DIE",
      "DIE",
      "Platte ö",
      "0",
    ]);
    expect(layers.map((l) => [l.name, l.entities])).toEqual([
      ["DIE", 2],
      ["Platte ö", 1],
      ["0", 1],
    ]);
  });

  it("can be picked and skipped", () => {
    const text = svgText(
      `<g id="DIE">${square(0)}</g><g id="NOTES">${square(10)}</g>`,
    );
    expect(
      readSvg(text, { onlyLayers: ["die"] }).outlines.map((o) => o.layer),
    ).toEqual(["DIE"]);
    expect(
      readSvg(text, { skipLayers: ["DIE"] }).outlines.map((o) => o.layer),
    ).toEqual(["NOTES"]);
  });

  it("what is hidden is skipped and told, what is shown again is read", () => {
    const { outlines, skipped, findings } = read(
      `<g id="A" display="none">${square(0)}</g>
       <g id="B" style="fill:none; display : none">${square(10)}</g>
       <g id="C" visibility="hidden">${square(20)}<g style="visibility:visible">${square(30)}</g></g>`,
    );
    expect(outlines.map((o) => o.layer)).toEqual(["C"]);
    expect(skipped.map((s) => [s.kind, s.layer, s.count])).toEqual([
      ["rect", "A", 1],
      ["rect", "B", 1],
      ["rect", "C", 1],
    ]);
    expect(findings.map((f) => [f.severity, f.message])).toEqual([
      ["note", "2 entities on layers A, B left out: it is not displayed."],
      ["note", "1 entity on layer C left out: it is drawn invisible."],
    ]);
  });

  it("texts, pictures, gradients and clip paths are counted and left alone", () => {
    const { outlines, skipped, findings } = read(
      `<title>t</title><text>a</text><text>b</text><image/><linearGradient/><clipPath><circle r="9"/></clipPath>
       <g id="A"><marker><circle r="9"/></marker></g><rect width="9" height="9" clip-path="url(#c)"/>`,
    );
    expect(outlines).toHaveLength(1);
    expect(skipped.map((s) => [s.kind, s.layer, s.count])).toEqual([
      ["text", "0", 2],
      ["image", "0", 1],
      ["linearGradient", "0", 1],
      ["clipPath", "0", 1],
      ["marker", "A", 1],
    ]);
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/clipped", "warning"],
    ]);
  });

  it.each([
    [`transform="rotate(30)" transform-origin="50 50"`, /transform-origin/],
    [`transform="rotate(30)" style="transform-origin: center"`, /-origin/],
    [`style="rotate: 30deg"`, /style \(rotate\) moves it/],
    [`style="translate: 5px"`, /style \(translate\) moves it/],
    [`style="fill:none;width:30px"`, /style sets its width/],
  ])(
    "a square that %s moves or sizes otherwise than is read is refused",
    (attributes, said) => {
      const { outlines, findings } = read(
        `<rect ${attributes} x="10" y="10" width="50" height="20"/>`,
      );
      expect(outlines).toEqual([]);
      expect(findings[0]?.code).toBe("drawing/bad-entity");
      expect(findings[0]?.message).toMatch(said);
    },
  );

  it.each([
    `transform="rotate(90)" transform-origin="0 0"`,
    `style="transform-origin:0px 0px;transform:none;stroke-width:3"`,
    `clip-path="none" style="mask:none"`,
  ])("a square with %s is read without a word", (attributes) => {
    const { outlines, findings } = read(
      `<rect ${attributes} x="10" y="10" width="50" height="20"/>`,
    );
    expect(outlines.map((o) => contourArea(o.contour))).toEqual([
      expect.closeTo(1000, 9),
    ]);
    expect(findings).toEqual([]);
  });

  it("a square that its style clips is told to be read whole", () => {
    const { findings } = read(
      `<rect style="clip-path:url(#c)" width="50" height="20"/>`,
    );
    expect(findings.map((f) => f.code)).toEqual(["drawing/clipped"]);
  });

  // biome-ignore format: one case a row
  it.each<[string, string, number]>([
    ["a drawing within the drawing", `<svg x="10" y="10" width="20" height="20"><circle cx="15" cy="10" r="6"/></svg>`, 1],
    ["that lets it be seen", `<svg width="20" height="20" overflow="visible"><circle cx="15" cy="10" r="6"/></svg>`, 0],
    ["and just touches the edge", `<svg width="20" height="20"><circle cx="10" cy="10" r="10"/></svg>`, 0],
    ["a slanted one", `<g transform="translate(50 20) rotate(30) skewX(10)"><svg width="20" height="20"><circle cx="10" cy="10" r="10"/></svg></g>`, 0],
    ["a slanted one, past one side", `<g transform="translate(50 20) rotate(30) skewX(10)"><svg width="20" height="20"><circle cx="10" cy="10" r="10.1"/></svg></g>`, 1],
    ["a symbol that fills its place by cutting", `<symbol id="s" viewBox="0 0 20 10" preserveAspectRatio="xMidYMid slice"><rect width="20" height="10"/></symbol><use href="#s" width="20" height="20"/>`, 1],
    ["a symbol in its place", `<symbol id="s" viewBox="0 0 20 10"><rect width="20" height="10"/></symbol><use href="#s" width="20" height="20"/>`, 0],
  ])("what reaches out of %s is read whole, and told (SVG 2, 14.3.1)", (_, content, told) => {
    const { outlines, findings } = read(content);
    expect(outlines).toHaveLength(1);
    expect(findings.map((f) => f.code)).toEqual(
      Array<string>(told).fill("drawing/clipped"),
    );
    if (told) expect(findings[0]?.message).toMatch(/reaches out of them, at \(-?[\d.]+, [\d.]+\)/);
  });

  it("a transform of the whole drawing is refused: about the page's middle (SVG 2) or its corner (SVG 1.1)?", () => {
    const page = `width="200mm" height="100mm" viewBox="0 0 200 100"`;
    const rect = `<rect width="50" height="20"/>`;
    const { outlines, findings } = read(rect, {
      root: `${page} transform="rotate(90)"`,
    });
    expect(outlines).toEqual([]);
    expect(findings[0]?.code).toBe("drawing/bad-entity");
    expect(findings[0]?.message).toMatch(/put a group inside the drawing/);
    const still = read(rect, { root: `${page} transform="none"` });
    expect(still.outlines).toHaveLength(1);
  });

  it("an & that is not closed does not pass for a file cut short", () => {
    expect(() => read(`<g id="a&b"><rect width="5" height="5"/></g>`)).toThrow(
      /& is not closed/,
    );
  });

  it("a style sheet that hides or moves is told, colours are not", () => {
    const styled = (css: string) =>
      read(`<style>${css}</style>${square(0)}`).findings.map((f) => f.code);
    expect(styled(".a{fill:#fff;stroke-width:2}")).toEqual([]);
    expect(styled(".a{fill:none}.b{display:none}")).toEqual([
      "drawing/style-sheet",
    ]);
  });
});

describe("repetition", () => {
  it("a use draws what it points at, where it stands", () => {
    const { outlines } = read(
      `<defs><g id="a"><circle cx="1" r="2"/></g></defs>
       <use href="#a" x="10"/><use xlink:href="#a" transform="translate(50 50) scale(3)" y="1"/>`,
    );
    expect(
      outlines.map(
        ({ contour: { segments } }) =>
          segments[0]?.kind === "arc" && [
            segments[0].center.x,
            segments[0].center.y,
            segments[0].radius,
          ],
      ),
    ).toEqual([
      [11, 100, 2],
      [53, 47, 6],
    ]);
  });

  it("a symbol, and a drawing in the drawing, have a viewBox of their own", () => {
    const { outlines } = read(
      `<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol>
       <use href="#s" width="20" height="20"/>
       <svg x="100" width="50" height="50" viewBox="0 0 5 10"><rect width="5" height="10"/></svg>`,
    );
    expect(outlines.map((o) => contourArea(o.contour))).toEqual([400, 1250]);
    // 25 mm wide in a place 50 mm wide: in its middle.
    const xs = outlines[1]?.contour.segments.map((s) => s.start.x) ?? [];
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([112.5, 137.5]);
  });

  it("of a thing in itself, or of nothing, is an error that names the line", () => {
    const { findings } = read(
      `<circle r="3"/>\n<g id="a"><g id="b"><use href="#a"/></g></g>\n<use href="#none"/><use href="other.svg#a"/>`,
    );
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/block-loop", "error"],
      ["drawing/block-missing", "error"],
    ]);
    expect(findings[1]?.message).toContain("line 4");
  });

  it("without end is refused", () => {
    // Each holds the one before twice: 2^25 empty groups.
    const doubling = Array.from(
      { length: 25 },
      (_, i) =>
        `<g id="n${i + 1}"><use href="#n${i}"/><use href="#n${i}"/></g>`,
    ).join("");
    expect(
      refusal(() =>
        read(`<defs><g id="n0"/>${doubling}</defs><use href="#n25"/>`),
      ).code,
    ).toBe("drawing/too-large");
  });
});

describe("a file that is no good", () => {
  const whole = svgText('<rect width="10" height="10"/>');

  it.each([
    ["a web page", "<!DOCTYPE html><html><body/></html>", "drawing/not-svg"],
    ["another XML", '<?xml version="1.0"?><gpx/>', "drawing/not-svg"],
    ["cut short", whole.slice(0, -9), "drawing/truncated"],
    ["cut short in a tag", whole.slice(0, -20), "drawing/truncated"],
    [
      "with tags that do not match",
      whole.replace("</svg>", "</g></svg>"),
      "drawing/damaged",
    ],
    [
      "with a viewBox of two numbers",
      svgText("", { root: 'viewBox="0 0"' }),
      "drawing/damaged",
    ],
    [
      "with a viewBox of no height",
      svgText("", { root: 'width="8in" viewBox="0 0 8 1e-320"' }),
      "drawing/damaged",
    ],
    [
      "with a width that is none",
      svgText("", { root: 'width="wide"' }),
      "drawing/damaged",
    ],
    ["nested without end", svgText("<g>".repeat(100_000)), "drawing/too-large"],
    [
      "with a text that multiplies",
      `<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>${whole}`,
      "drawing/declarations",
    ],
    [
      "with a text from another file",
      `<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>${whole}`,
      "drawing/declarations",
    ],
  ])("%s is refused with a message of its own", (_, text, code) => {
    const error = refusal(() => readDrawing(text));
    expect(error.code).toBe(code);
    expect(error.message.length).toBeGreaterThan(30);
  });

  it("short names for namespaces are no harm", () => {
    const text = `<?xml version="1.0"?>\n<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [<!ENTITY ns_svg "http://www.w3.org/2000/svg">]>
<svg xmlns="&ns_svg;" width="10mm" viewBox="0 0 10 10"><rect width="5" height="5"/></svg>`;
    expect(readDrawing(text).outlines).toHaveLength(1);
  });

  it.each([
    ["M0 0L10", "path data"],
    ["L10 10", "path data"],
    ["M0 0L10 1e999", "beyond all measure"],
    ["M0 0 10 0 10 10 0x10z", "path data"],
  ])("the path %s is told, and nothing of it is drawn", (d, words) => {
    const { findings, outlines, open } = read(
      `<circle r="4"/><path d="${d}"/>`,
    );
    expect(findings[0]?.severity).toBe("error");
    expect(findings[0]?.message).toContain(words);
    expect(findings[0]?.message).toContain("line 2");
    expect([outlines.length, open.length]).toEqual([1, 0]);
  });

  it.each([
    ['<polygon points="0 0 10 0 10"/>', "lacks a coordinate"],
    ['<polygon points="0 0 ten 0"/>', "not all numbers"],
    ['<rect width="-5" height="5"/>', "negative"],
    ['<ellipse rx="20000" ry="10"/>', "m across"],
  ])("%s is told", (content, words) => {
    const { findings } = read(content);
    expect(findings[0]?.code).toBe("drawing/bad-entity");
    expect(findings[0]?.message).toContain(words);
  });

  it("in other encodings is read all the same", () => {
    const text = svgText('<g id="Größe"><rect width="10" height="10"/></g>');
    const utf16 = new Uint8Array(2 * text.length + 2);
    utf16.set([0xff, 0xfe]);
    for (let i = 0; i < text.length; i++) {
      const code = text.charCodeAt(i);
      utf16.set([code & 255, code >> 8], 2 + 2 * i);
    }
    const declared = `<?xml version="1.0" encoding="ISO-8859-1"?>\n${text}`;
    const latin = Uint8Array.from(declared, (c) => c.charCodeAt(0));
    const utf8 = new TextEncoder().encode(`\uFEFF${text}`);
    for (const bytes of [utf16, latin, utf8])
      expect(readDrawing(bytes).outlines[0]?.layer).toBe("Größe");
  });

  it("nothing in it is an error", () => {
    expect(read("").findings.map((f) => f.code)).toEqual(["drawing/empty"]);
  });
});
