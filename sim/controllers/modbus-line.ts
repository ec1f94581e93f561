/** One Modbus TCP connection that is asked one thing at a time. */
import { connect, type Socket } from 'node:net';
import {
  decodeResponse,
  encodeFrame,
  encodeRequest,
  mbapParser,
  type Request,
  type Response,
} from '../../src/modbus/index.ts';
import { unitId } from '../../src/units/index.ts';

const TRANSACTIONS = 0x10000;

export class ModbusLine {
  readonly #host: string;
  readonly #port: number;
  readonly #timeoutMs: number;
  #socket: Socket | null = null;
  #transaction = 0;
  #answered: (transaction: number, pdu: Uint8Array) => void = () => undefined;

  constructor(host: string, port: number, timeoutMs: number) {
    this.#host = host;
    this.#port = port;
    this.#timeoutMs = timeoutMs;
  }

  /** null for anything but an answer to this request within the time-out. */
  ask(unit: number, request: Request): Promise<Response | null> {
    const socket = this.#connected();
    this.#transaction = (this.#transaction + 1) % TRANSACTIONS;
    const asked = this.#transaction;
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, this.#timeoutMs, null);
      // An answer that comes late carries an older number, and is nobody's.
      this.#answered = (transaction, pdu) => {
        if (transaction !== asked) return;
        clearTimeout(timer);
        const response = decodeResponse(pdu, request);
        resolve(response.kind === 'mismatched' ? null : response);
      };
      socket.write(encodeFrame(asked, unitId(unit), encodeRequest(request)));
    });
  }

  close(): void {
    this.#socket?.destroy();
    this.#socket = null;
  }

  /** A lost connection is made again at the next question. */
  #connected(): Socket {
    if (this.#socket !== null) return this.#socket;
    const socket = connect({ host: this.#host, port: this.#port, noDelay: true });
    const parser = mbapParser();
    socket.on('data', (chunk) => {
      parser.feed(chunk);
      for (let seen = parser.next(); seen !== undefined; seen = parser.next()) {
        if (seen.kind === 'frame') this.#answered(seen.transactionId, seen.pdu.slice());
        if (seen.kind === 'lost') socket.destroy();
      }
    });
    socket.on('error', () => undefined);
    socket.on('close', () => {
      if (this.#socket === socket) this.#socket = null;
    });
    this.#socket = socket;
    return socket;
  }
}
