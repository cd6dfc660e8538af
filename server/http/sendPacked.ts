/** An answer in bytes: packed for who takes gzip, since over a satellite link the history is what takes longest. */
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { acceptsGzip } from './acceptsGzip.ts';

const packed = promisify(gzip);

export async function sendPacked(
  request: FastifyRequest,
  reply: FastifyReply,
  bytes: Uint8Array,
): Promise<FastifyReply> {
  reply.type('application/octet-stream').header('vary', 'accept-encoding');
  if (!acceptsGzip(request.headers['accept-encoding'] ?? '')) return reply.send(bytes);
  return reply.header('content-encoding', 'gzip').send(await packed(bytes));
}
