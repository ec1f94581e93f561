/**
 * Exception codes, one row each: MB-APP section 7. Code 07 is missing there and so it is here.
 */
export const EXCEPTIONS = {
  illegalFunction: { code: 0x01, name: 'illegal function' },
  illegalDataAddress: { code: 0x02, name: 'illegal data address' },
  illegalDataValue: { code: 0x03, name: 'illegal data value' },
  serverDeviceFailure: { code: 0x04, name: 'server device failure' },
  acknowledge: { code: 0x05, name: 'acknowledge' },
  serverDeviceBusy: { code: 0x06, name: 'server device busy' },
  memoryParityError: { code: 0x08, name: 'memory parity error' },
  gatewayPathUnavailable: { code: 0x0a, name: 'gateway path unavailable' },
  gatewayTargetFailedToRespond: { code: 0x0b, name: 'gateway target device failed to respond' },
} as const;

export type ExceptionCode = (typeof EXCEPTIONS)[keyof typeof EXCEPTIONS]['code'];

/** An exception answer is the request's function code with this bit set (MB-APP 4.1), then the code. */
export const EXCEPTION_FLAG = 0x80;

const NAMES: ReadonlyMap<number, string> = new Map(
  Object.values(EXCEPTIONS).map(({ code, name }) => [code, name]),
);

export function isExceptionCode(code: number): code is ExceptionCode {
  return NAMES.has(code);
}

/** 2 → "illegal data address"; a code that the standard does not list is named by its number. */
export function exceptionName(code: number): string {
  return NAMES.get(code) ?? `exception ${code}`;
}

/** The exception answer to a request with this function code. */
export function exceptionPdu(functionCode: number, code: ExceptionCode): Uint8Array {
  const pdu = new Uint8Array(2);
  pdu[0] = functionCode | EXCEPTION_FLAG;
  pdu[1] = code;
  return pdu;
}
