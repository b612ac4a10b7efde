/** Shape functions of the 8-node quadrilateral at one point of the reference square, with their derivatives. */
export interface ReferencePoint {
  readonly weight: number;
  /** Each of eight nodes: value, derivative along xi, derivative along eta. */
  readonly n: Float64Array;
  readonly nXi: Float64Array;
  readonly nEta: Float64Array;
}

const NODE_XI = [-1, 1, 1, -1, 0, 1, 0, -1];
const NODE_ETA = [-1, -1, 1, 1, -1, 0, 1, 0];

/** The serendipity functions (Zienkiewicz & Taylor, The Finite Element Method, from memory). */
export function referencePoint(xi: number, eta: number, weight: number): ReferencePoint {
  const [n, nXi, nEta] = [new Float64Array(8), new Float64Array(8), new Float64Array(8)];
  for (let k = 0; k < 8; k++) {
    const [a, b] = [NODE_XI[k]!, NODE_ETA[k]!];
    if (a !== 0 && b !== 0) {
      n[k] = ((1 + a * xi) * (1 + b * eta) * (a * xi + b * eta - 1)) / 4;
      nXi[k] = (a * (1 + b * eta) * (2 * a * xi + b * eta)) / 4;
      nEta[k] = (b * (1 + a * xi) * (a * xi + 2 * b * eta)) / 4;
    } else if (a === 0) {
      n[k] = ((1 - xi * xi) * (1 + b * eta)) / 2;
      nXi[k] = -xi * (1 + b * eta);
      nEta[k] = (b * (1 - xi * xi)) / 2;
    } else {
      n[k] = ((1 + a * xi) * (1 - eta * eta)) / 2;
      nXi[k] = (a * (1 - eta * eta)) / 2;
      nEta[k] = -eta * (1 + a * xi);
    }
  }
  return { weight, n, nXi, nEta };
}

const square = (points: number[], weights: number[]): ReferencePoint[] =>
  points.flatMap((xi, i) => points.map((eta, j) => referencePoint(xi, eta, weights[i]! * weights[j]!)));

/** Two by two Gauss points, for stiffness: reduced on purpose, since full integration makes thin walls too stiff. */
export const STIFFNESS_POINTS = square([-Math.sqrt(1 / 3), Math.sqrt(1 / 3)], [1, 1]);
/** Three by three Gauss points, for mass and volume. */
export const MASS_POINTS = square([-Math.sqrt(0.6), 0, Math.sqrt(0.6)], [5 / 9, 8 / 9, 5 / 9]);
/** Three Gauss points of an interval from -1 to 1. */
export const LINE_POINTS = [
  { at: -Math.sqrt(0.6), weight: 5 / 9 },
  { at: 0, weight: 8 / 9 },
  { at: Math.sqrt(0.6), weight: 5 / 9 },
];
