/** What tshark makes of each answer in a capture: sound, or in which way it is not, and what it names. */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SocketAddress } from '../../src/rig/index.ts';
import { CHECKED, readAs } from './capture.ts';
import { lines, run, TSHARK } from './outside-tools.ts';

/** All but the first are tshark's own finding, or follow from two fields that it read. */
export type Mark =
  | 'sound'
  | 'malformed'
  | 'wrong checksum'
  /** Its byte count is not that of the bytes in it. */
  | 'contradicts itself'
  /** tshark matches it with no request: another unit, function or number than was asked. */
  | 'answers no request'
  /** Bytes, but no Modbus frame. */
  | 'no frame';

export interface Heard {
  readonly mark: Mark;
  readonly unit: number | null;
  readonly functionCode: number | null;
  readonly exception: number | null;
  /** Modbus TCP alone. */
  readonly transaction: number | null;
  /** Since its request. */
  readonly afterMs: number | null;
}

const FIELDS = [
  'tcp.dstport',
  'mbtcp.trans_id',
  'mbtcp.unit_id',
  'mbrtu.unit_id',
  'modbus.func_code',
  'modbus.exception_code',
  'modbus.request_frame',
  'modbus.response_time',
  'modbus.byte_cnt',
  'mbtcp.len',
  'udp.length',
  'mbrtu.crc16.incorrect',
  '_ws.malformed',
] as const;

type Field = (typeof FIELDS)[number];
type Row = Readonly<Record<Field, string>>;

/** The frames that went to each client port; a port that is missing heard nothing. */
export async function framesByPort(
  file: string,
  kind: SocketAddress['kind'],
  port: number,
): Promise<ReadonlyMap<number, readonly Heard[]>> {
  const rows = await rowsOf(file, readAs(kind, port), `tcp.srcport==${port} && tcp.len>0`);
  const packets = new Map<number, Row[]>();
  for (const row of rows) {
    const client = Number(row['tcp.dstport']);
    packets.set(client, [...(packets.get(client) ?? []), row]);
  }
  return new Map([...packets].map(([client, own]) => [client, framesOf(own)]));
}

/** A frame in pieces shows in the last of them; pieces of none are told once. */
function framesOf(packets: readonly Row[]): readonly Heard[] {
  const frames = packets.filter((row) => row['modbus.func_code'] !== '');
  return (frames.length > 0 ? frames : packets.slice(0, 1)).map(heardIn);
}

/**
 * What went over a serial line, one piece after the other, each as one listener would cut it at the silence.
 */
export interface SerialPiece {
  readonly by: 'client' | 'face';
  readonly bytes: Uint8Array;
}

const CLIENT_PORT = 20_000;
const FACE_PORT = 502;

/**
 * tshark captures no serial port: what was recorded there is put into datagrams, which keep frames apart as
 * silence does on the line. Times are lost on the way.
 */
export async function framesOnSerial(pieces: readonly SerialPiece[]): Promise<readonly Heard[]> {
  const folder = await mkdtemp(join(tmpdir(), 'serial-capture-'));
  const [dump, file] = [join(folder, 'dump.txt'), join(folder, 'line.pcap')];
  const dumped = pieces.map(({ by, bytes }) => `${by === 'client' ? 'I' : 'O'}\n000000 ${hex(bytes)}\n`);
  await writeFile(dump, dumped.join(''));
  const wrapped = await run(['text2pcap', '-q', '-D', '-u', `${CLIENT_PORT},${FACE_PORT}`, dump, file]);
  if (wrapped.code !== 0) throw new Error(`text2pcap ended with ${wrapped.code}: ${wrapped.stderr}`);
  const decoding = ['-d', `udp.port==${FACE_PORT},mbrtu`, '-o', `mbrtu.udp.port:${FACE_PORT}`, ...CHECKED];
  return (await rowsOf(file, decoding, `udp.srcport==${FACE_PORT}`)).map(heardIn);
}

async function rowsOf(file: string, decoding: readonly string[], filter: string): Promise<readonly Row[]> {
  const fields = FIELDS.flatMap((name) => ['-e', name]);
  const shown = ['-Y', filter, '-T', 'fields', '-E', 'occurrence=f', ...fields];
  const found = await lines([TSHARK, '-r', file, ...decoding, ...shown]);
  return found.map((line) => {
    const cells = line.split('\t');
    return Object.fromEntries(FIELDS.map((name, at) => [name, cells[at] ?? ''])) as Row;
  });
}

function heardIn(row: Row): Heard {
  const number = (...names: readonly Field[]): number | null => {
    const cell = names.map((name) => row[name]).find((text) => text !== '');
    return cell === undefined ? null : Number(cell);
  };
  const afterS = number('modbus.response_time');
  return {
    mark: markOf(row),
    unit: number('mbtcp.unit_id', 'mbrtu.unit_id'),
    functionCode: number('modbus.func_code'),
    exception: number('modbus.exception_code'),
    transaction: number('mbtcp.trans_id'),
    afterMs: afterS === null ? null : afterS * 1000,
  };
}

function markOf(row: Row): Mark {
  if (row['modbus.func_code'] === '') return 'no frame';
  if (row['_ws.malformed'] !== '') return 'malformed';
  if (row['mbrtu.crc16.incorrect'] !== '') return 'wrong checksum';
  const counted = row['modbus.byte_cnt'];
  const bytes = pduBytes(row);
  if (counted !== '' && bytes !== null && bytes !== 2 + Number(counted)) return 'contradicts itself';
  // Of an RTU exception tshark says no request, whatever it answers.
  const isMatched = row['modbus.request_frame'] !== '' || row['modbus.exception_code'] !== '';
  return isMatched ? 'sound' : 'answers no request';
}

/** As the header says; null for RTU through a socket, where nothing but the frame itself tells. */
function pduBytes(row: Row): number | null {
  if (row['mbtcp.len'] !== '') return Number(row['mbtcp.len']) - 1;
  return row['udp.length'] === '' ? null : Number(row['udp.length']) - UDP_HEADER_BYTES - RTU_OVERHEAD_BYTES;
}

const UDP_HEADER_BYTES = 8;
/** Unit and checksum. */
const RTU_OVERHEAD_BYTES = 3;

function hex(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
}
