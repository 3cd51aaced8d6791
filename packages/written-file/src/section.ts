import { z } from 'zod';

/** An object that has these keys and no others. */
export function section<Shape extends z.core.$ZodLooseShape>(
  shape: Shape,
): z.ZodObject<Shape, z.core.$strict> {
  const keys = Object.keys(shape).join(', ');
  return z.strictObject(shape, {
    error: (issue) =>
      issue.code === 'unrecognized_keys' ? `only the keys ${keys}` : `a section with ${keys}`,
  });
}
