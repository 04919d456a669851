/**
 * Places where pieces end or cross, by number. Places found to be the same are united (a forest of sets, Tarjan,
 * "Efficiency of a good but not linear set union algorithm", Journal of the ACM 22, 1975); pieces are joined by
 * these numbers later, never by distance.
 */
export interface Nodes {
  count: number;
  parent: Int32Array;
  x: Float64Array;
  y: Float64Array;
}

export function newNodes(room: number): Nodes {
  return {
    count: 0,
    parent: new Int32Array(room),
    x: new Float64Array(room),
    y: new Float64Array(room),
  };
}

export function addNode(nodes: Nodes, x: number, y: number): number {
  const node = nodes.count++;
  if (node === nodes.parent.length) grow(nodes);
  nodes.parent[node] = node;
  nodes.x[node] = x;
  nodes.y[node] = y;
  return node;
}

function grow(nodes: Nodes): void {
  const { parent, x, y } = nodes;
  const more = newNodes(2 * parent.length + 16);
  more.parent.set(parent);
  more.x.set(x);
  more.y.set(y);
  nodes.parent = more.parent;
  nodes.x = more.x;
  nodes.y = more.y;
}

/** The number that all nodes at this place share; its x and y are theirs. */
export function placeOf({ parent }: Nodes, node: number): number {
  let place = node;
  while (parent[place] !== place) {
    // Halves the way for whoever asks next.
    const above = parent[parent[place] as number] as number;
    parent[place] = above;
    place = above;
  }
  return place;
}

/** The first one's place becomes that of both, and is returned. */
export function unite(nodes: Nodes, a: number, b: number): number {
  const place = placeOf(nodes, a);
  nodes.parent[placeOf(nodes, b)] = place;
  return place;
}
