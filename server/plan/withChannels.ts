/** A plan and a channel map from a file of its own, as one text: a run keeps them together. */
import type { ChannelMapping, Plan } from '../../src/plan/planSchema.ts';

/** The map wins over the plan's, item by item. */
export function withChannels(plan: Plan, channels: Record<string, ChannelMapping>): string {
  return JSON.stringify({ ...plan, stream: { ...plan.stream, channels: { ...plan.stream?.channels, ...channels } } });
}
