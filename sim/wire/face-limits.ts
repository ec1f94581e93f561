/** A limit on everything that a client on a socket could make us hold, each with its reason. */
export interface FaceLimits {
  /** Open connections of one face; one more closes the one unused for longest (MB-TCP). */
  readonly connectionsMax: number;
  /** Time a frame may take from its first byte to its last; then its connection is closed. */
  readonly halfFrameMs: number;
  /** Time a client may leave our answers unread; then its connection is closed. */
  readonly unreadMs: number;
  /** Quiet that ends an RTU frame which does not tell its own end, or is broken. */
  readonly quietMs: number;
}

export const DEFAULT_LIMITS: FaceLimits = {
  // A dozen pollers and viewers are a busy bench; MB-TCP counts 1 to 16 transactions a device.
  connectionsMax: 64,
  // A gateway at 1200 baud needs 2.4 s for the longest frame (256 characters of 11 bits, MB-SER); doubled.
  halfFrameMs: 5_000,
  // Longer than any poller's own time-out, so that only a client that has stopped reading meets it.
  unreadMs: 10_000,
  // The gaps of a serial line mean nothing in a socket, and a sender that waits for an acknowledgement in
  // the middle of a frame pauses for 40 ms (delayed acknowledgement; common practice, no source). Longer
  // than that, and shorter than a poller's time-out, so that it is heard when it asks anew.
  quietMs: 60,
};
