import type { z } from 'zod';
import { Fault } from '../../../src/fault.ts';
import { findRun } from '../../recording/findRun.ts';
import type { KeptCourse } from '../../recording/keptCourse.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';
import { courseSchema } from './course.ts';
import { samplesQuery, sendSamples } from './samples.ts';

const REFUSALS = {
  404: problem('There is no run of this id or name.'),
  409: problem('The run cannot be read again.'),
};

type Handle = Route['handle'];

async function withCourse(
  { library, courses }: Served,
  request: Parameters<Handle>[1],
  reply: Parameters<Handle>[2],
  send: (course: KeptCourse) => unknown,
): Promise<unknown> {
  const { name } = request.params as { name: string };
  try {
    const { id } = findRun(library?.list() ?? [], name);
    return send(await courses!.of(id));
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return reply.code(error.code === 'bad option' ? 404 : 409).send({ error: error.message });
  }
}

export const runCourseRoute: Route = {
  url: '/api/runs/:name/course',
  says: 'What a recorded run is counted from, beside its samples; as `/api/course` for the run that goes on.',
  answers: { 200: { says: 'The course of the run.', type: 'application/json', schema: courseSchema }, ...REFUSALS },
  handle: (served, request, reply) => withCourse(served, request, reply, ({ course }) => course),
};

export const runSamplesRoute: Route = {
  url: '/api/runs/:name/samples',
  says: 'The samples of a recorded run, bit for bit; as `/api/samples` for the run that goes on.',
  query: samplesQuery,
  answers: {
    200: { says: 'Packed columns, little endian, version 1.', type: 'application/octet-stream' },
    400: problem('The query cannot be meant.'),
    ...REFUSALS,
  },
  handle(served, request, reply) {
    const { fromRow } = request.query as z.infer<typeof samplesQuery>;
    return withCourse(served, request, reply, ({ samples }) => sendSamples(request, reply, samples, fromRow));
  },
};
