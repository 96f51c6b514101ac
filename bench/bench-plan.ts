import { type Plan, readPlan } from '@twolamp/simulate';

/** A plan to time: glossy tubes behind a tilted camera. `shots` is the plan's list, in its own words. */
export function benchPlan(
  size: { readonly rows: number; readonly columns: number; readonly width: number; readonly height: number },
  shots: string,
): Plan {
  return readPlan(
    `
format: twolamp-plan/1
seed: 1
array: { name: Bench, arrangement: square, rows: ${size.rows}, columns: ${size.columns}, tube-length: 150 mm,
         tube-bore: 2.6 mm, back-pitch: 3 mm, front-pitch: 3.6 mm, tube-wall: glossy black }
photo: { width: ${size.width}, height: ${size.height} }
camera: { tilt: 3 deg, distortion: 0.02, vignetting: 0.2 }
sheet: { halo-share: 0.05 }
lamp: { diameter: 10 mm }
light: { room-lux: 0.01 }
shots: [${shots}]
`,
    'plan.yaml',
  );
}
