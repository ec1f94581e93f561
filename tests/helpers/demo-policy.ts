/** What the demo rig asks of a controller, as GET /api/v1/rig tells it; written out, for tests of what shows it. */
import type { RigView } from '../../src/api/rig-view-schema.ts';

export const DEMO_POLICY: RigView['policy'] = {
  setpoint: 20,
  clearBelow: 18,
  holdMs: 300_000,
  silentAfterMs: 5000,
  askWithinMs: 10_000,
  respondWithinMs: 15_000,
  fanProofWithinMs: 10_000,
  compressorMinOffMs: 180_000,
  resumeWithinMs: 300_000,
  latchAfter: null,
};
