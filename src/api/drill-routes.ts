/** Drills on the bench: the shipped ones, the one that plays, a fresh start, and what was done by hand. */
import type { FastifyInstance } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { EventRecord } from '../record/index.ts';
import { CHANGE_PROBLEMS, doneSchema, NO_WIRE, outcomeOf } from './answers.ts';
import type { DrillPort } from './bench-port.ts';
import {
  drillListSchema,
  drillReportSchema,
  drillWantedSchema,
  recordingNameSchema,
  recordingSchema,
} from './drill-schema.ts';
import { Problem } from './problems.ts';

interface DrillSources {
  readonly port: DrillPort;
  readonly record: EventRecord;
}

const NO_DRILL = 'No drill was played since the last fresh start.';
const tags = ['drills'];

export function drillRoutes(app: FastifyInstance, sources: DrillSources): void {
  readRoutes(app, sources);
  changeRoutes(app, sources);
}

function readRoutes(app: FastifyInstance, { port }: DrillSources): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  typed.get(
    '/api/v1/drills',
    {
      schema: {
        operationId: 'getDrills',
        summary: 'The shipped drills, and which of them this rig can play',
        tags,
        response: { 200: drillListSchema },
      },
    },
    async () => ({ drills: [...(await port.drills())] }),
  );
  typed.get(
    '/api/v1/drill',
    {
      config: { problems: ['not-found'] },
      schema: {
        operationId: 'getDrill',
        summary: 'The drill that plays or was played last, and how it was judged',
        tags,
        response: { 200: drillReportSchema },
      },
    },
    () => {
      const report = port.drillReport();
      if (report === null) throw new Problem('not-found', NO_DRILL);
      return report;
    },
  );
  typed.get(
    '/api/v1/recording',
    {
      config: { problems: ['not-found'] },
      schema: {
        operationId: 'getRecording',
        summary: 'What was done by hand since the last fresh start, as a drill file',
        tags,
        querystring: recordingNameSchema,
        response: { 200: recordingSchema },
      },
    },
    ({ query }) => {
      const recording = port.recording(query.name);
      if (recording === null) throw new Problem('not-found', NO_WIRE);
      return recording;
    },
  );
}

function changeRoutes(app: FastifyInstance, { port, record }: DrillSources): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  typed.post(
    '/api/v1/drill',
    {
      config: { problems: CHANGE_PROBLEMS },
      schema: {
        operationId: 'playDrill',
        summary: 'A fresh start, then a drill plays on the rig of this bench and is judged at its end',
        tags,
        body: drillWantedSchema,
        response: { 200: doneSchema },
      },
    },
    ({ body }) => outcomeOf(record, () => port.playDrill(body)),
  );
  typed.delete(
    '/api/v1/drill',
    {
      config: { problems: CHANGE_PROBLEMS },
      schema: {
        operationId: 'stopDrill',
        summary: 'End the drill that plays; it is not judged, and the bench goes on',
        tags,
        response: { 200: doneSchema },
      },
    },
    () => outcomeOf(record, () => port.stopDrill()),
  );
  typed.post(
    '/api/v1/restart',
    {
      config: { problems: CHANGE_PROBLEMS },
      schema: {
        operationId: 'restart',
        summary: 'A fresh start: new air and sensors, equipment at rest, the controller at its power-up',
        tags,
        body: z.strictObject({}),
        response: { 200: doneSchema },
      },
    },
    () => outcomeOf(record, () => port.restart()),
  );
}
