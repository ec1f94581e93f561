/** tshark as judge: captures on the loopback interface, and what it makes of the frames in them. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp } from 'node:fs/promises';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import type { SocketAddress } from '../../src/rig/index.ts';
import { collected, lines, TSHARK } from './outside-tools.ts';

/** A capture under way on the loopback interface. */
export interface Capture {
  readonly port: number;
  readonly file: string;
  readonly process: ChildProcess;
  /** Where the packets so far went, one address a line. */
  readonly seen: () => string;
}

/** What tshark made of the traffic with one port. */
export interface Decoded {
  readonly requests: number;
  readonly responses: number;
  /** Exceptions among the responses. */
  readonly exceptions: number;
  /** Packets that tshark could not take apart, or whose checksum it found wrong. */
  readonly malformed: readonly string[];
  /** Packets with data that is no Modbus to tshark, or that it could not tell the direction of. */
  readonly strange: readonly string[];
}

/** Captures what goes over loopback from and to this TCP port; settles when packets are being seen. */
export async function startCapture(port: number): Promise<Capture> {
  const file = join(await mkdtemp(join(tmpdir(), 'capture-')), 'loopback.pcapng');
  const list = ['-P', '-l', '-T', 'fields', '-e', 'ip.dst'];
  const child = spawn(TSHARK, ['-i', 'lo', '-f', `tcp port ${port}`, '-w', file, ...list], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  child.stderr.resume();
  const capture = { port, file, process: child, seen: collected(child.stdout).text };
  await untilMarked(capture, FIRST_MARK);
  return capture;
}

/** Ends the capture once all that was sent before is in it, and has tshark decode it. */
export async function stopCapture(capture: Capture, kind: SocketAddress['kind'] = 'tcp'): Promise<Decoded> {
  return decode(await endCapture(capture), kind, capture.port);
}

/** Ends the capture once all that was sent before is in it; the file. */
export async function endCapture(capture: Capture): Promise<string> {
  await untilMarked(capture, LAST_MARK);
  const ended = once(capture.process, 'close');
  capture.process.kill('SIGINT');
  await ended;
  return capture.file;
}

/**
 * How tshark is to read a capture. Decode-as names the protocol of the port; the preference tells requests
 * from responses by direction.
 */
export function readAs(kind: SocketAddress['kind'], port: number): readonly string[] {
  return kind === 'tcp'
    ? ['-d', `tcp.port==${port},mbtcp`, '-o', `mbtcp.tcp.port:${port}`]
    : ['-d', `tcp.port==${port},mbrtu`, '-o', `mbrtu.tcp.port:${port}`, ...CHECKED];
}

/** It does not look at checksums unless it is told to. */
export const CHECKED = ['-o', 'mbrtu.crc_verification:TRUE'];

/**
 * Where marks go, connection attempts that nobody answers: they must not disturb what is being captured.
 * The last one has its own address, so that a late first one is not taken for it.
 */
const FIRST_MARK = '127.0.0.77';
const LAST_MARK = '127.0.0.78';
const MARK_TRIES = 200;
const MARK_EVERY_MS = 50;

/** Sends marks until tshark lists one: then it has seen all that came before. */
async function untilMarked({ port, process: child, seen }: Capture, host: string): Promise<void> {
  for (let tries = 0; tries < MARK_TRIES && child.exitCode === null; tries += 1) {
    await attempt(host, port);
    await setTimeout(MARK_EVERY_MS);
    if (seen().includes(host)) return;
  }
  child.kill('SIGINT');
  throw new Error('tshark captures nothing on lo');
}

async function attempt(host: string, port: number): Promise<void> {
  const socket = connect({ host, port });
  await new Promise<void>((settle) => {
    socket.on('close', () => {
      settle();
    });
    socket.on('connect', () => socket.destroy());
    socket.on('error', () => undefined);
  });
}

async function decode(file: string, kind: SocketAddress['kind'], port: number): Promise<Decoded> {
  const read = [TSHARK, '-r', file, ...readAs(kind, port)];
  const fields = ['tcp.dstport', 'modbus.func_code', 'modbus.exception_code'];
  const rows = await lines([
    ...read,
    '-Y',
    'modbus',
    '-T',
    'fields',
    ...fields.flatMap((name) => ['-e', name]),
  ]);
  // A packet that carries several frames lists their values with commas.
  const count = (column: number, toServer: boolean) =>
    rows
      .map((row) => row.split('\t'))
      .filter(([to]) => (to === String(port)) === toServer)
      .flatMap((cells) => cells[column]?.split(',') ?? [])
      .filter((value) => value !== '').length;
  return {
    requests: count(1, true),
    responses: count(1, false),
    exceptions: count(2, false),
    malformed: await lines([...read, '-Y', MALFORMED]),
    strange: await lines([...read, '-Y', STRANGE]),
  };
}

const MALFORMED = '_ws.malformed || mbrtu.crc16.incorrect';

/** A packet that brings only a part of a frame is not strange: tshark shows the frame where it is whole. */
const STRANGE = 'mbtcp.cannot_classify || (tcp.len > 0 && !modbus && !tcp.reassembled_in)';
