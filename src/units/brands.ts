/**
 * Numbers that must not be mixed up carry their unit in the type.
 *
 * Shapes: each brand is a plain number at run time. Errors: a constructor throws RangeError on a value
 * its quantity cannot have; that is a broken invariant, because input is checked at the border already.
 */

/** Milliseconds: a duration, or a moment since the bench's own zero. */
export type Ms = number & { readonly unit: 'ms' };
/** Concentration in percent of the refrigerant's lower flammability limit. */
export type PercentLfl = number & { readonly unit: 'percentLfl' };
/** Mass of refrigerant in a volume of air, kg/m3. */
export type KgPerM3 = number & { readonly unit: 'kgPerM3' };
/** Modbus unit identifier, 0 to 255 on TCP; 1 to 247 name a device (MB-SER 2.2). */
export type UnitId = number & { readonly unit: 'unitId' };

export function ms(value: number): Ms {
  if (!Number.isFinite(value)) throw new RangeError(`ms: ${value}`);
  return value as Ms;
}

export function percentLfl(value: number): PercentLfl {
  if (!Number.isFinite(value) || value < 0) throw new RangeError(`percentLfl: ${value}`);
  return value as PercentLfl;
}

export function kgPerM3(value: number): KgPerM3 {
  if (!Number.isFinite(value) || value < 0) throw new RangeError(`kgPerM3: ${value}`);
  return value as KgPerM3;
}

export function unitId(value: number): UnitId {
  if (!Number.isInteger(value) || value < 0 || value > 255) throw new RangeError(`unitId: ${value}`);
  return value as UnitId;
}
