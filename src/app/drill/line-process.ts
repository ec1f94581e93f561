/**
 * A command as a partner in conversation: one line in, one line out. It runs in a process group of its own,
 * so that ending it ends whatever it started.
 */
import { type ChildProcessByStdio, spawn } from 'node:child_process';
import type { Readable, Writable } from 'node:stream';
import { killGroup } from '../process-group.ts';

/** The partner did not keep to the conversation; the message says how. */
export class PartnerError extends Error {}

/** It ended with what a shell says of a command that it cannot find or run (POSIX XCU 2.8.2). */
export class NotStarted extends PartnerError {}
const NOT_STARTED_CODES: readonly (number | null)[] = [126, 127];

const LINE_CHARACTERS_MAX = 64 * 1024;
const TAIL_LINES_MAX = 8;

/** Text that comes in parts, by whole lines; of one without an end only its beginning is kept. */
class Lines {
  #rest = '';

  /** What has come of the line that has not ended. */
  get rest(): string {
    return this.#rest;
  }

  /** The lines that end with this part. */
  take(part: string): readonly string[] {
    const lines = (this.#rest + part).split('\n');
    this.#rest = (lines.pop() ?? '').slice(0, LINE_CHARACTERS_MAX);
    return lines;
  }
}

export class LineProcess {
  readonly #child: ChildProcessByStdio<Writable, Readable, Readable>;
  readonly #answerWithinMs: number;
  readonly #tail: string[] = [];
  readonly #ended: Promise<void>;
  readonly #said = new Lines();
  readonly #complained = new Lines();
  #lines: string[] = [];
  #end: PartnerError | null = null;
  #hasAnswered = false;
  #wake: () => void = () => undefined;

  constructor(command: string, env: NodeJS.ProcessEnv, answerWithinMs: number) {
    this.#answerWithinMs = answerWithinMs;
    this.#child = spawn(command, { shell: true, detached: true, env, stdio: ['pipe', 'pipe', 'pipe'] });
    this.#child.stdout.setEncoding('utf8').on('data', (text: string) => {
      this.#read(text);
    });
    this.#child.stderr.setEncoding('utf8').on('data', (text: string) => {
      for (const line of this.#complained.take(text)) if (line !== '') this.#keep(line);
    });
    // Whatever ends this process must not leave it behind.
    const killAtExit = (): void => {
      killGroup(this.#child);
    };
    process.once('exit', killAtExit);
    // A write to a partner that is gone fails; its end says all there is to say.
    this.#child.stdin.on('error', () => undefined);
    this.#ended = new Promise((resolve) => {
      const ended = (how: PartnerError): void => {
        this.#end ??= how;
        process.off('exit', killAtExit);
        this.#wake();
        resolve();
      };
      this.#child.on('error', (error) => {
        ended(new NotStarted(`could not be started: ${error.message}`));
      });
      this.#child.on('close', (code, signal) => {
        if (this.#complained.rest !== '') this.#keep(this.#complained.rest);
        const how =
          signal === null ? `ended by itself with exit code ${code ?? 'none'}` : `was ended by ${signal}`;
        const isStart = !this.#hasAnswered && NOT_STARTED_CODES.includes(code);
        ended(isStart ? new NotStarted(how) : new PartnerError(how));
      });
    });
  }

  /** The last lines it said, on either output, the newest last. */
  get tail(): readonly string[] {
    return this.#tail;
  }

  /** Sends a line and resolves with the next one that comes. Rejects with PartnerError. */
  async exchange(line: string): Promise<string> {
    const [unasked] = this.#lines;
    if (unasked !== undefined) throw new PartnerError(`said a line that nobody asked for: ${cut(unasked)}`);
    if (this.#end === null) this.#child.stdin.write(`${line}\n`);
    if (this.#end === null) await this.#newsOrTime();
    const answer = this.#lines.shift();
    if (answer !== undefined) return answer;
    if (this.#end !== null) throw this.#end;
    throw new PartnerError(`did not answer within ${this.#answerWithinMs / 1000} s`);
  }

  /** Until it has said something, has ended, or its time is up. */
  async #newsOrTime(): Promise<void> {
    await new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, this.#answerWithinMs);
      this.#wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });
    this.#wake = () => undefined;
  }

  /** Ends it and all it started, at once, and resolves when it is gone. */
  async kill(): Promise<void> {
    killGroup(this.#child);
    await this.#ended;
  }

  #read(text: string): void {
    const lines = this.#said.take(text);
    for (const line of lines) {
      this.#keep(line);
      this.#lines.push(line);
    }
    if (lines.length === 0) return;
    this.#hasAnswered = true;
    this.#wake();
  }

  #keep(line: string): void {
    this.#tail.push(cut(line));
    if (this.#tail.length > TAIL_LINES_MAX) this.#tail.shift();
  }
}

function cut(line: string): string {
  const shown = 200;
  return line.length <= shown ? line : `${line.slice(0, shown)}…`;
}
