/** What a virtual device says it is, to whoever asks with function 2B (MB-APP 6.21). */
import { type Identification, identificationOf, type ObjectTexts } from '../../src/modbus/index.ts';
import type { Device } from './device.ts';

/**
 * Of the virtual devices, not of the package: it changes when their registers do, so that a controller may
 * rely on it.
 */
const MAKER = { vendorName: 'leakbench', revision: '1.0' } as const;

/** Private objects begin at 80; there is one. */
const SERIAL_OBJECT = 0x80;

export function identityOf(
  texts: Omit<ObjectTexts, keyof typeof MAKER>,
  own?: Readonly<Record<number, string>>,
): Identification {
  return identificationOf({ ...MAKER, ...texts }, own);
}

/** A sensor is known by its profile and, where it has one, by its serial; its place in the rig is its id. */
export function sensorIdentity({ plan }: Device): Identification {
  const texts = {
    productCode: 'LB-SENSOR',
    productName: 'virtual refrigerant sensor',
    modelName: plan.codec.profile.name,
    userApplicationName: plan.id,
  };
  return identityOf(texts, plan.serial === null ? {} : { [SERIAL_OBJECT]: plan.serial });
}
