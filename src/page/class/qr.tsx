/** A QR code as one path. Always black on white, whatever the theme: readers want it so. */
import { encode } from 'uqr';

/** Modules that must stay white on every side (ISO/IEC 18004 section 6.3.8). */
const QUIET_ZONE = 4;

export function QrCode({ text, label }: { readonly text: string; readonly label: string }) {
  const { data, size } = encode(text, { ecc: 'M', border: QUIET_ZONE });
  const path = data.flatMap((row, y) => row.map((dark, x) => (dark ? `M${x} ${y}h1v1h-1z` : ''))).join('');
  return (
    <svg
      class="qr"
      viewBox={`0 0 ${size} ${size}`}
      role="img"
      aria-label={label}
      shape-rendering="crispEdges"
    >
      <rect class="qr-light" width={size} height={size} />
      <path class="qr-dark" d={path} />
    </svg>
  );
}
