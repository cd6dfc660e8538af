/**
 * Why bytes, packets or values of a WITS stream were refused: each reason once, with what its number counts and one
 * plain sentence. Nothing is left out of a run without being counted here.
 */

export interface Refusal {
  /** What one count of it is. */
  readonly of: 'bytes' | 'packets' | 'lines' | 'values' | 'times';
  readonly says: string;
}

const refusal = (of: Refusal['of'], says: string): Refusal => ({ of, says });

export const REFUSALS = {
  noise: refusal('bytes', 'Bytes outside any packet.'),
  'malformed line': refusal('lines', 'A line in a packet that does not begin with a four-digit code.'),
  'line too long': refusal('lines', 'A line in a packet that is longer than any item can be.'),
  'cut line': refusal('lines', 'The last line of a packet that broke off before its end.'),
  'packet too long': refusal('packets', 'A packet that went on for too many bytes or items without an end.'),
  'empty packet': refusal('packets', 'A packet without a single item.'),
  'no trailer': refusal('packets', 'A packet without its end mark; what it held in whole lines was kept.'),
  'echo of our poll': refusal('packets', 'Our own request, sent back by the line.'),
  'repeated packet': refusal('packets', 'A packet that says again what was already said of the same instant.'),
  'second packet of one instant': refusal('packets', 'Another reading of an instant that was already passed on.'),
  'out of order': refusal('packets', 'A packet stamped before one of the same record that was already passed on.'),
  'odd time stamp': refusal('packets', 'A packet whose stamp lies far from those before and after it.'),
  'no time stamp': refusal('packets', 'A packet that does not say of which instant it is.'),
  'clock step': refusal('times', "The source's clock was set back for good; the run's time goes on from where it was."),
  'repeated item': refusal('values', 'A code that stands twice in one packet; the later valid value was kept.'),
  'unreadable value': refusal('values', 'Text where the item should hold a number, a flag, a date or a time.'),
  'unlisted code': refusal(
    'values',
    'An item of an unknown code, when as many codes as can be listed were seen before.',
  ),
} as const satisfies Record<string, Refusal>;

export type RefusalReason = keyof typeof REFUSALS;
export const REFUSAL_REASONS = Object.keys(REFUSALS) as RefusalReason[];

/** Reasons under which a packet made no sample; `no trailer` keeps what it held. */
export const LOST_PACKETS = REFUSAL_REASONS.filter(
  (reason) => REFUSALS[reason].of === 'packets' && reason !== 'no trailer',
);

/** Whole packets that were refused, of counts by reason. */
export function refusedPackets(rejected: Readonly<Record<string, number>>): number {
  return LOST_PACKETS.reduce((sum, reason) => sum + (rejected[reason] ?? 0), 0);
}

/** Counts by reason, every reason present. */
export function noRefusals(): Record<RefusalReason, number> {
  return Object.fromEntries(REFUSAL_REASONS.map((reason) => [reason, 0])) as Record<RefusalReason, number>;
}
