/**
 * What turns, runs and blows: a plain drawing of our own, a shape and a word for each. What moves is drawn
 * with the marks of movement beside it, so that a still picture says it too.
 */
import type { ComponentChildren } from 'preact';
import type { FieldView } from '../class/types.ts';
import { F } from '../texts/field.ts';

const BLADE = 'M24 24C21 15 24 8 30 8c3 6 0 12-6 16z';
const TURNS = [0, 120, 240] as const;

export function Works({ runs }: { readonly runs: FieldView['runs'] }) {
  return (
    <ul class="works">
      <Work name={F.air} on={runs.air} words={F.airWords}>
        <AirShape on={runs.air} />
      </Work>
      <Work name={F.fan} on={runs.fan} words={F.fanWords}>
        <FanShape on={runs.fan} />
      </Work>
      {runs.compressors.map(({ id, running }) => (
        <Work key={id} name={F.compressor(id)} on={running} words={F.runWords}>
          <CompressorShape on={running} />
        </Work>
      ))}
      <Work name={F.heat} on={runs.heat} words={F.heatWords}>
        <HeatShape on={runs.heat} />
      </Work>
    </ul>
  );
}

interface WorkProps {
  readonly name: string;
  readonly on: boolean;
  readonly words: readonly [string, string];
  readonly children: ComponentChildren;
}

function Work({ name, on, words, children }: WorkProps) {
  return (
    <li class={on ? 'work is-running' : 'work'}>
      <svg class="work-shape" viewBox="0 0 48 48" aria-hidden="true">
        {children}
      </svg>
      <span class="work-name">{name}</span>
      <span class="work-word">{on ? words[0] : words[1]}</span>
    </li>
  );
}

function FanShape({ on }: { readonly on: boolean }) {
  return (
    <>
      <rect x="3" y="3" width="42" height="42" rx="4" />
      <g class={on ? 'is-turning' : ''}>
        {TURNS.map((degrees) => (
          <path key={degrees} class="solid" d={BLADE} transform={`rotate(${degrees} 24 24)`} />
        ))}
      </g>
      {on && <path d="M10 15a17 17 0 0 1 6-6M38 33a17 17 0 0 1-6 6" />}
      <circle class="solid" cx="24" cy="24" r="3.5" />
    </>
  );
}

function AirShape({ on }: { readonly on: boolean }) {
  if (!on) return <path d="M4 38h40M10 38v-5M19 38v-5M29 38v-5M38 38v-5" />;
  return (
    <>
      <path d="M4 38h40M10 38v-5M19 38v-5M29 38v-5M38 38v-5" />
      <path d="M14 28c-5-6 5-9 0-16M24 28c-5-6 5-9 0-16M34 28c-5-6 5-9 0-16" />
      <path class="solid" d="m11 13 3-7 3 7zM21 13l3-7 3 7zM31 13l3-7 3 7z" />
    </>
  );
}

function CompressorShape({ on }: { readonly on: boolean }) {
  return (
    <>
      <path class={on ? 'filled' : ''} d="M13 16a11 8 0 0 1 22 0v18a11 6 0 0 1-22 0z" />
      <path d="M10 43h28M16 39v4M32 39v4M24 8V4" />
      {on && <path d="M8 18v14M4 21v8M40 18v14M44 21v8" />}
    </>
  );
}

function HeatShape({ on }: { readonly on: boolean }) {
  return (
    <>
      <path class={on ? 'strong' : ''} d="M4 36h6l4-8 6 14 6-14 6 14 6-14 3 8h3" />
      {on && <path d="M14 22c-4-5 4-7 0-13M24 22c-4-5 4-7 0-13M34 22c-4-5 4-7 0-13" />}
    </>
  );
}
