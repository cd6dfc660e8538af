/** Trips of the table that are left out, each with the reason why the readings cannot decide. */
export const UNPROVABLE = {
  named: new Set([
    // Block and depth swing faster than the recipe's feed allows: by the readings the tool does go too fast.
    'heave 10 cm over 12 s',
    // Neither flag nor block weight is known while the stream begins, so hanging in slips looks like hanging on the block.
    'start in slips',
  ]),
  drawn: new Set<number>([]),
  drawnWithIncidents: new Set<number>([
    // Fast feed for one frame at each edge: a frame in two to five seconds cannot place them better.
    6, 25, 38,
    // Low pressure ground swept again too fast for 8 s, at a frame in four seconds with depth to 0.1 m.
    40,
  ]),
};
