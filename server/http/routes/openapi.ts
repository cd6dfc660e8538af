import type { Route } from '../route.ts';

/** @param describe made by the app, which knows all routes. */
export const openapiRoute = (describe: () => object): Route => ({
  url: '/openapi.json',
  says: 'This description, OpenAPI 3.1.',
  answers: { 200: { says: 'The description.', type: 'application/json' } },
  handle: () => describe(),
});
