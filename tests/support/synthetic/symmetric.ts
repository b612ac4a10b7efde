/** Symmetric matrix of order size, row by row; inputs need the lower triangle only. */
export interface SymmetricMatrix {
  size: number;
  values: Float64Array;
}

/** Adds to the unit diagonal of the scaled Fisher matrix: keeps sd finite, below 3e6 times that of known neighbours. */
const RIDGE = 1e-13;

/** Inverse of a symmetric positive definite matrix given by its lower triangle: unit diagonal, Cholesky, both halves filled. */
export function invertScaled({ size, values }: SymmetricMatrix): SymmetricMatrix {
  const scale = Float64Array.from({ length: size }, (_, i) => 1 / Math.sqrt(values[i * size + i]));
  const l = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = values[i * size + j] * scale[i] * scale[j] + (i === j ? RIDGE : 0);
      for (let k = 0; k < j; k++) sum -= l[i * size + k] * l[j * size + k];
      // Rounding can leave a pivot below the ridge where two modes coincide.
      l[i * size + j] = i === j ? Math.sqrt(Math.max(sum, RIDGE)) : sum / l[j * size + j];
    }
  }
  const inverse = invertLower(l, size);
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < size; k++) sum += inverse[i * size + k] * inverse[j * size + k];
      const value = sum * scale[i] * scale[j];
      out[i * size + j] = value;
      out[j * size + i] = value;
    }
  }
  return { size, values: out };
}

/** Transpose of the inverse of a lower triangular matrix: row i holds column i of the inverse. */
function invertLower(l: Float64Array, size: number): Float64Array {
  const out = new Float64Array(size * size);
  for (let column = 0; column < size; column++) {
    out[column * size + column] = 1 / l[column * size + column];
    for (let row = column + 1; row < size; row++) {
      let sum = 0;
      for (let k = column; k < row; k++) sum -= l[row * size + k] * out[column * size + k];
      out[column * size + row] = sum / l[row * size + row];
    }
  }
  return out;
}
