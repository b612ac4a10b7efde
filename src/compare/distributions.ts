/**
 * Tails of the three distributions that the tests of a comparison need, to about 1e-12. Continued fractions and series
 * of the incomplete gamma and beta functions: NIST Digital Library of Mathematical Functions, 8.7.1, 8.9.2, 8.17.22,
 * 5.11.1; the fractions are evaluated by the method of Lentz.
 */

const STEPS = 500;
const SMALL = 1e-300;
const ACCURACY = 1e-14;
/** Stirling's series is good to double precision from here on. */
const STIRLING_FROM = 12;

/** ln of the gamma function for x > 0. */
export function lnGamma(x: number): number {
  let shift = 0;
  let at = x;
  while (at < STIRLING_FROM) {
    shift += Math.log(at);
    at += 1;
  }
  const inverse = 1 / at;
  const square = inverse * inverse;
  const series =
    inverse * (1 / 12 - square * (1 / 360 - square * (1 / 1260 - square * (1 / 1680 - square / 1188))));
  return (at - 0.5) * Math.log(at) - at + 0.5 * Math.log(2 * Math.PI) + series - shift;
}

/** b0 + a1/(b1 + a2/(b2 + ...)) by the method of Lentz. */
function continuedFraction(b0: number, term: (step: number) => [a: number, b: number]): number {
  let value = b0 === 0 ? SMALL : b0;
  let c = value;
  let d = 0;
  for (let step = 1; step <= STEPS; step++) {
    const [a, b] = term(step);
    d = b + a * d;
    d = 1 / (d === 0 ? SMALL : d);
    c = b + a / c;
    if (c === 0) c = SMALL;
    value *= c * d;
    if (Math.abs(c * d - 1) < ACCURACY) break;
  }
  return value;
}

/** Upper regularised incomplete gamma function Q(a, x); a > 0, x >= 0. */
function upperGamma(a: number, x: number): number {
  if (x <= 0) return 1;
  const front = Math.exp(a * Math.log(x) - x - lnGamma(a));
  if (x >= a + 1) {
    return front / continuedFraction(x + 1 - a, (step) => [step * (a - step), x + 1 - a + 2 * step]);
  }
  let term = 1 / a;
  let sum = term;
  for (let step = 1; step <= STEPS && term > sum * ACCURACY; step++) {
    term *= x / (a + step);
    sum += term;
  }
  return Math.max(0, 1 - front * sum);
}

/** Regularised incomplete beta function I_x(a, b); a, b > 0, x from 0 to 1. */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(
    lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log1p(-x) - Math.log(a),
  );
  const fraction = continuedFraction(1, (step) => {
    const m = step >> 1;
    const numerator =
      step % 2 === 0
        ? (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
        : (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    return [numerator, 1];
  });
  return front / fraction;
}

/** Probability that chi-squared with `degrees` > 0 of freedom is larger than x. */
export function chiSquaredTail(x: number, degrees: number): number {
  return upperGamma(degrees / 2, x / 2);
}

/** Probability that a normal value lies further than z from 0 on either side. */
export function normalTail(z: number): number {
  return upperGamma(0.5, (z * z) / 2);
}

/** Probability that Student's t lies further than t from 0 on either side; `degrees` may be infinite. */
export function studentTail(t: number, degrees: number): number {
  if (degrees === Number.POSITIVE_INFINITY) return normalTail(t);
  return incompleteBeta(degrees / (degrees + t * t), degrees / 2, 0.5);
}

/** Beyond this the two-sided normal tail is no longer a double. */
const MOST_Z = 38;

/** Where a falling function of x from 0 on passes `wanted`. */
function bisect(tail: (x: number) => number, wanted: number, most: number): number {
  let low = 0;
  let high = most;
  for (let step = 0; step < 100 && high - low > 1e-12 * high; step++) {
    const middle = (low + high) / 2;
    if (tail(middle) > wanted) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The t that is passed on either side with the probability `tail`, above 0 and below 1. */
export function studentQuantile(tail: number, degrees: number): number {
  let most = MOST_Z;
  while (studentTail(most, degrees) > tail) most *= 8;
  return bisect((t) => studentTail(t, degrees), tail, most);
}

/** The normal value, 0 or more, that is as improbable as a Student's t of this size. */
export function asNormal(t: number, degrees: number): number {
  if (degrees === Number.POSITIVE_INFINITY) return Math.min(Math.abs(t), MOST_Z);
  const tail = studentTail(t, degrees);
  return tail <= normalTail(MOST_Z) ? MOST_Z : bisect(normalTail, tail, MOST_Z);
}
