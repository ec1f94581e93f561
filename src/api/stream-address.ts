/** Where the event stream is, and what its address may say; its two descriptions come from here. */
import { z } from 'zod';

export const STREAM_PATH = '/api/v1/stream';

export const afterSequence = z.coerce
  .number()
  .int()
  .nonnegative()
  .describe('Sequence of the last event that is known already; 0 for none.');

export const streamQuery = z.object({ after: afterSequence.default(0) });

/** Browsers cannot give a WebSocket a header. */
export const tokenInAddress = {
  name: 'token',
  description: 'The token, for a browser, which cannot send the header Authorization with a WebSocket.',
} as const;
