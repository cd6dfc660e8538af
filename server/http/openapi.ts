/** The service described in OpenAPI 3.1, made from the routes and their zod schemas. */
import { z } from 'zod';
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

function parameters(query: z.ZodObject): object[] {
  return Object.entries(query.shape).map(([name, schema]) => ({
    name,
    in: 'query',
    required: false,
    schema: withoutDialect(z.toJSONSchema(schema as z.ZodType)),
  }));
}

/** `:name` in a path. */
const IN_PATH = /:(\w+)/g;

function pathParameters(url: string): object[] {
  return [...url.matchAll(IN_PATH)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }));
}

function requestBody(schema: z.ZodType): object {
  return {
    required: true,
    content: { 'application/json': { schema: withoutDialect(z.toJSONSchema(schema, { io: 'input' })) } },
  };
}

function operation(route: Route): object {
  const responses = Object.entries(route.answers).map(([code, answer]) => [
    code,
    { description: answer.says, content: content(answer) },
  ]);
  const all = [...pathParameters(route.url), ...(route.query ? parameters(route.query) : [])];
  return {
    operationId: route.url.slice(1).replace(/\W+/g, '-'),
    summary: route.says,
    ...(all.length > 0 ? { parameters: all } : {}),
    ...(route.body ? { requestBody: requestBody(route.body.schema) } : {}),
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
      routes.map((route) => [route.url.replace(IN_PATH, '{$1}'), { [route.body ? 'post' : 'get']: operation(route) }]),
    ),
  };
}
