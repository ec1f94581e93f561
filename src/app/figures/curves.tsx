/** What the bench computes, drawn: true gas and reading at each place, with the fan off and on. */
import { Fragment } from 'preact';
import { Legend } from '../../page/chart/legend.tsx';
import { Picture } from '../../page/chart/picture.tsx';
import { type History, NO_HISTORY } from '../../page/data/history.ts';
import type { RigView } from '../../page/types.ts';
import { ScrollFrame } from '../report/html/scroll-frame.tsx';
import { rigView } from '../rig-view.ts';
import type { BenchCourse, PlaceCourse, Sample } from './bench-courses.ts';
import { BENCH_TITLE, benchAbout, benchFacts, differing, placeName } from './bench-words.ts';
import type { FiguresResult } from './result.ts';

/** Drawn for the width of a sheet of A4. */
const WIDTH = 780;
const SHORTEST_MS = 600_000;
const LONGEST_MS = 10_800_000;

export function Curves({ result }: { readonly result: FiguresResult }) {
  const rig = rigView(result.rig, [], new Map());
  return (
    <figure class="plate timeline">
      <figcaption>
        <h2>{BENCH_TITLE}</h2>
        <p class="quiet">{benchAbout(result)}</p>
      </figcaption>
      <Legend rig={rig} />
      {result.bench.map((course) => (
        <Fragment key={course.fan}>
          <h3>Fan {course.fan}</h3>
          <dl class="facts">
            {benchFacts(course, result).map(({ name, value }) => (
              <Fragment key={name}>
                <dt>{name}</dt>
                <dd>{value}</dd>
              </Fragment>
            ))}
          </dl>
          {differing(course.places).map((place) => (
            <PlacePicture key={place.place} rig={rig} course={course} place={place} />
          ))}
        </Fragment>
      ))}
      <p class="quiet">Each picture has its own scale.</p>
    </figure>
  );
}

interface PlacePictureProps {
  readonly rig: RigView;
  readonly course: BenchCourse;
  readonly place: PlaceCourse;
}

/** One lane a place and fan: a cabinet that fills and a room beside it share no scale that shows both. */
function PlacePicture({ rig, course, place }: PlacePictureProps) {
  const name = placeName(place.place, course.places);
  const toMs = Math.min(LONGEST_MS, Math.max(SHORTEST_MS, 1.2 * (course.clearAtMs ?? LONGEST_MS)));
  const sensor = course.sensors.find((one) => one.place === place.place);
  const id = place.place;
  const history: History = {
    ...NO_HISTORY,
    beganAtMs: 0,
    gas: new Map([[id, pointsOf(place.truth, toMs)]]),
    readings: new Map(sensor === undefined ? [] : [[id, pointsOf(sensor.reading, toMs)]]),
  };
  const probe = { kind: 'modbus', where: '', serial: null, unitId: null, line: null } as const;
  const pictured = { sensors: [{ id, at: id, ...probe }], setpoint: rig.setpoint };
  return (
    <ScrollFrame kind="picture" label={`Fan ${course.fan}: gas in ${name}`}>
      <Picture
        rig={pictured}
        history={history}
        bands={[]}
        width={WIDTH}
        fromMs={0}
        toMs={toMs}
        summary={`Gas in ${name}, fan ${course.fan}: at most ${Number(place.peak.value.toPrecision(3))} %LFL.`}
      />
    </ScrollFrame>
  );
}

/** More than one a pixel draws nothing that is seen. */
const POINTS_MAX = 400;

function pointsOf(samples: readonly Sample[], toMs: number): Sample[] {
  const stepMs = 1000 * Math.ceil(toMs / POINTS_MAX / 1000);
  const inside = samples.filter(({ atMs }) => atMs <= toMs);
  const peak = inside.reduce((top, one) => (one.value > top.value ? one : top));
  return inside.filter((one) => one.atMs % stepMs === 0 || one === peak);
}
