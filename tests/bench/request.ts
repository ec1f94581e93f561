/** The one exchange that is measured: eight input registers of unit 11, from register 0 on. */

export const UNIT = 11;
export const REQUEST_PDU = [4, 0, 0, 0, 8] as const;
export const REQUEST_BYTES = 7 + REQUEST_PDU.length;
/** Header, function, byte count, eight registers. */
export const ANSWER_BYTES = 7 + 2 + 16;

/** The answer up to its values, but for the transaction number, which is that of the request. */
export const ANSWER_BEGINS = [0, 0, 0, 0, 0, ANSWER_BYTES - 6, UNIT, 4, 16] as const;
