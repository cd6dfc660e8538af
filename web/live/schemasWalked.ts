/**
 * Schemas are walked, not compiled: the service's policy forbids code made at run time, and the very attempt is
 * reported as a breach. Must be imported before any schema is made.
 */
import { z } from 'zod/mini';

z.config({ jitless: true });
