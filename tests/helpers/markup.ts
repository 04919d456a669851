/** Reads markup as strictly as XML asks, as far as tags and attributes go. */

export interface Tag {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
}

const VOID = new Set(["meta", "br"]);

/** Every opening tag in order; throws where tags do not nest, attributes repeat or a bare `<` or `&` stands. */
export function tagsOf(markup: string): readonly Tag[] {
  const open: string[] = [];
  const tags: Tag[] = [];
  let at = 0;
  for (const hit of markup.matchAll(
    /<!DOCTYPE html>|<style>[^<]*<\/style>|<(\/?)([a-zA-Z][\w-]*)((?:\s+[\w:-]+="[^"<]*")*)\s*(\/?)>/g,
  )) {
    const text = markup.slice(at, hit.index);
    if (/[<>]|&(?!(amp|lt|gt|quot|#\d+);)/.test(text))
      throw new Error(`stray markup in ${JSON.stringify(text)}`);
    at = hit.index + hit[0].length;
    const [, closing, name, attributes, selfClosing] = hit;
    if (name === undefined) continue;
    if (closing) {
      if (open.pop() !== name) throw new Error(`</${name}> closes nothing`);
      continue;
    }
    if (!selfClosing && !VOID.has(name)) open.push(name);
    const pairs = [...(attributes ?? "").matchAll(/([\w:-]+)="([^"]*)"/g)].map(
      (m): [string, string] => [m[1] as string, m[2] as string],
    );
    if (new Set(pairs.map(([k]) => k)).size !== pairs.length)
      throw new Error(`an attribute of <${name}> stands twice`);
    tags.push({ name, attributes: Object.fromEntries(pairs) });
  }
  if (open.length) throw new Error(`<${open.join("><")}> left open`);
  if (/[<>]/.test(markup.slice(at))) throw new Error("stray markup at the end");
  return tags;
}

/** The text between tags. */
export function textOf(markup: string): string {
  return markup.replace(/<style>[^<]*<\/style>/g, "").replace(/<[^>]*>/g, " ");
}
