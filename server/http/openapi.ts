/** The service described in OpenAPI 3.1, made from the routes and their zod schemas. */
import { z } from 'zod/mini';
import type { Answer, Route } from './route.ts';

function content(answer: Answer): object {
  const schema = answer.schema
    ? z.toJSONSchema(answer.schema)
    : answer.type === 'application/json'
      ? { type: 'object' }
      : { type: 'string', format: 'binary' };
  return { [answer.type]: { schema: withoutDialect(schema) } };
}

/** The dialect is named once, for the whole document. */
function withoutDialect(schema: object): object {
  const { $schema: _, ...rest } = schema as { $schema?: string };
  return rest;
}

function parameters(shape: z.ZodMiniObject, place: 'query' | 'path'): object[] {
  return Object.entries(shape.shape).map(([name, schema]) => ({
    name,
    in: place,
    required: place === 'path',
    schema: withoutDialect(z.toJSONSchema(schema)),
  }));
}

function requestBody(schema: z.core.$ZodType): object {
  return {
    required: true,
    content: { 'application/json': { schema: withoutDialect(z.toJSONSchema(schema, { io: 'input' })) } },
  };
}

const BYTES = {
  required: true,
  content: { 'application/octet-stream': { schema: { type: 'string', format: 'binary' } } },
};

function operation(route: Route): object {
  const responses = Object.entries(route.answers).map(([code, answer]) => [
    code,
    { description: answer.says, content: content(answer) },
  ]);
  return {
    operationId: route.url.slice(1).replace(/\W+/g, '-'),
    summary: route.says,
    ...(route.query || route.params
      ? {
          parameters: [
            ...(route.params ? parameters(route.params, 'path') : []),
            ...(route.query ? parameters(route.query, 'query') : []),
          ],
        }
      : {}),
    ...(route.body ? { requestBody: requestBody(route.body.schema) } : {}),
    ...(route.upload ? { requestBody: BYTES } : {}),
    responses: Object.fromEntries(responses),
  };
}

export function describeRoutes(routes: readonly Route[], version: string): object {
  return {
    openapi: '3.1.0',
    jsonSchemaDialect: 'https://json-schema.org/draft/2020-12/schema',
    info: {
      title: 'jointwise',
      version,
      description: 'Live expansion monitoring. The live messages themselves come over a WebSocket at /live.',
    },
    paths: Object.fromEntries(
      routes.map((route) => [
        route.url.replace(/:(\w+)/g, '{$1}'),
        { [route.body || route.upload ? 'post' : 'get']: operation(route) },
      ]),
    ),
  };
}
