/**
 * Places where pieces end or cross, by number. Places found to be the same are united (a forest of sets, Tarjan,
 * "Efficiency of a good but not linear set union algorithm", Journal of the ACM 22, 1975); pieces are joined by
 * these numbers later, never by distance.
 */
export interface Nodes {
  readonly parent: number[];
  readonly x: number[];
  readonly y: number[];
}

export function newNodes(): Nodes {
  return { parent: [], x: [], y: [] };
}

export function addNode(nodes: Nodes, x: number, y: number): number {
  nodes.x.push(x);
  nodes.y.push(y);
  return nodes.parent.push(nodes.parent.length) - 1;
}

/** The number that all nodes at this place share; its x and y are theirs. */
export function placeOf({ parent }: Nodes, node: number): number {
  let at = node;
  while (parent[at] !== at) {
    const above = parent[parent[at] as number] as number;
    parent[at] = above;
    at = above;
  }
  return at;
}

/** The first one's place becomes that of both, and is returned. */
export function unite(nodes: Nodes, a: number, b: number): number {
  const place = placeOf(nodes, a);
  nodes.parent[placeOf(nodes, b)] = place;
  return place;
}
