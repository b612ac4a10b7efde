import type { Band, Poles } from "./band.ts";

/**
 * Variable projection on the DFT bins of one band (Golub & Pereyra 1973; Jacobian after Kaufman 1975).
 *
 * A damped sinusoid c exp(s n / fs), n = 0 .. N-1, has on the exact DFT grid the values c (1 - z^N) / (1 - z exp(-j w)),
 * z = exp(s / fs). The factor 1 - z^N does not depend on the bin and is absorbed into the linear coefficient; one constant
 * column stands for the skirts of everything outside. The linear coefficients are eliminated channel by channel by a QR
 * factorisation (modified Gram-Schmidt), the poles are common to all channels. As the model is analytic in s, the normal
 * equations are complex: M x M for M poles, and var(omega) = var(alpha) = half the complex variance.
 */
export class Projection {
  /** Whitened residual sum of squares over all channels. */
  rss = 0;
  /** Smallest of the ratios of a column's norm after orthogonalisation to before: near 0 where two poles coincide. */
  rankMargin = 1;
  poles = 0;
  columns = 0;
  /** Hermitian matrix D^H D and vector D^H r of the projected derivative, row major. */
  hRe = new Float64Array(0);
  hIm = new Float64Array(0);
  gRe = new Float64Array(0);
  gIm = new Float64Array(0);
  /** Linear coefficients, channel by channel, `columns` each (the constant last). */
  cRe = new Float64Array(0);
  cIm = new Float64Array(0);
  /** Q, R and the residual of each channel, and Q^H D for the covariance of the coefficients. */
  qRe: Float64Array[] = [];
  qIm: Float64Array[] = [];
  rRe: Float64Array[] = [];
  rIm: Float64Array[] = [];
  residualRe: Float64Array[] = [];
  residualIm: Float64Array[] = [];
  bRe: Float64Array[] = [];
  bIm: Float64Array[] = [];
  private dRe = new Float64Array(0);
  private dIm = new Float64Array(0);
  private phiRe = new Float64Array(0);
  private phiIm = new Float64Array(0);

  evaluate(band: Band, poles: Poles): void {
    const m = poles.alpha.length;
    this.reserve(band, m);
    this.hRe.fill(0, 0, m * m);
    this.hIm.fill(0, 0, m * m);
    this.gRe.fill(0, 0, m);
    this.gIm.fill(0, 0, m);
    this.rss = 0;
    this.rankMargin = 1;
    this.fillPhi(band, poles);
    for (let c = 0; c < band.channels.length; c++) {
      this.factorise(band, c);
      if (m > 0) this.addNormalEquations(band, c);
    }
  }

  private reserve(band: Band, m: number): void {
    const n = band.count;
    const k = m + 1;
    this.poles = m;
    this.columns = k;
    if (this.hRe.length < m * m) {
      this.hRe = new Float64Array(m * m);
      this.hIm = new Float64Array(m * m);
      this.gRe = new Float64Array(m);
      this.gIm = new Float64Array(m);
    }
    if (this.phiRe.length < m * n) {
      this.phiRe = new Float64Array(m * n);
      this.phiIm = new Float64Array(m * n);
      this.dRe = new Float64Array(m * n);
      this.dIm = new Float64Array(m * n);
    }
    const channels = band.channels.length;
    if (this.cRe.length < channels * k) {
      this.cRe = new Float64Array(channels * k);
      this.cIm = new Float64Array(channels * k);
    }
    for (let c = 0; c < channels; c++) {
      if (!(this.qRe[c]?.length >= k * n)) {
        this.qRe[c] = new Float64Array(k * n);
        this.qIm[c] = new Float64Array(k * n);
      }
      if (!(this.rRe[c]?.length >= k * k)) {
        this.rRe[c] = new Float64Array(k * k);
        this.rIm[c] = new Float64Array(k * k);
        this.bRe[c] = new Float64Array(k * k);
        this.bIm[c] = new Float64Array(k * k);
      }
      if (!(this.residualRe[c]?.length >= n)) {
        this.residualRe[c] = new Float64Array(n);
        this.residualIm[c] = new Float64Array(n);
      }
    }
  }

  /** phi = 1 / (1 - exp((s - j w) / fs)) at every bin, unweighted. */
  private fillPhi(band: Band, poles: Poles): void {
    const { count: n, stepRe, stepIm, sampleRateHz: fs } = band;
    const { phiRe, phiIm } = this;
    for (let j = 0; j < poles.alpha.length; j++) {
      const radius = Math.exp(-poles.alpha[j] / fs);
      const zRe = radius * Math.cos(poles.omega[j] / fs);
      const zIm = radius * Math.sin(poles.omega[j] / fs);
      const at = j * n;
      for (let i = 0; i < n; i++) {
        const a = 1 - (zRe * stepRe[i] - zIm * stepIm[i]);
        const b = -(zRe * stepIm[i] + zIm * stepRe[i]);
        const inverse = 1 / (a * a + b * b);
        phiRe[at + i] = a * inverse;
        phiIm[at + i] = -b * inverse;
      }
    }
  }

  private factorise(band: Band, c: number): void {
    const { count: n } = band;
    const { re: yRe, im: yIm, weight } = band.channels[c];
    const { phiRe, phiIm, cRe, cIm, columns: k, poles: m } = this;
    const qRe = this.qRe[c];
    const qIm = this.qIm[c];
    const rRe = this.rRe[c];
    const rIm = this.rIm[c];
    const resRe = this.residualRe[c];
    const resIm = this.residualIm[c];
    for (let i = 0; i < n; i++) {
      resRe[i] = yRe[i] * weight[i];
      resIm[i] = yIm[i] * weight[i];
    }
    for (let j = 0; j < k; j++) {
      const at = j * n;
      let before = 0;
      for (let i = 0; i < n; i++) {
        const a = j < m ? phiRe[at + i] * weight[i] : weight[i];
        const b = j < m ? phiIm[at + i] * weight[i] : 0;
        qRe[at + i] = a;
        qIm[at + i] = b;
        before += a * a + b * b;
      }
      for (let l = 0; l < j; l++) {
        const from = l * n;
        let pRe = 0;
        let pIm = 0;
        for (let i = 0; i < n; i++) {
          pRe += qRe[from + i] * qRe[at + i] + qIm[from + i] * qIm[at + i];
          pIm += qRe[from + i] * qIm[at + i] - qIm[from + i] * qRe[at + i];
        }
        rRe[l * k + j] = pRe;
        rIm[l * k + j] = pIm;
        for (let i = 0; i < n; i++) {
          qRe[at + i] -= pRe * qRe[from + i] - pIm * qIm[from + i];
          qIm[at + i] -= pRe * qIm[from + i] + pIm * qRe[from + i];
        }
      }
      let after = 0;
      for (let i = 0; i < n; i++) after += qRe[at + i] * qRe[at + i] + qIm[at + i] * qIm[at + i];
      const margin = before > 0 ? Math.sqrt(after / before) : 0;
      if (margin < this.rankMargin) this.rankMargin = margin;
      const norm = Math.sqrt(after);
      // A column that lies in the span of the others carries nothing: its coefficient is left at zero.
      const usable = margin > 1e-9;
      const scale = usable ? 1 / norm : 0;
      rRe[j * k + j] = usable ? norm : 0;
      rIm[j * k + j] = 0;
      let tRe = 0;
      let tIm = 0;
      for (let i = 0; i < n; i++) {
        qRe[at + i] *= scale;
        qIm[at + i] *= scale;
        tRe += qRe[at + i] * resRe[i] + qIm[at + i] * resIm[i];
        tIm += qRe[at + i] * resIm[i] - qIm[at + i] * resRe[i];
      }
      cRe[c * k + j] = tRe;
      cIm[c * k + j] = tIm;
      for (let i = 0; i < n; i++) {
        resRe[i] -= tRe * qRe[at + i] - tIm * qIm[at + i];
        resIm[i] -= tRe * qIm[at + i] + tIm * qRe[at + i];
      }
    }
    let rss = 0;
    for (let i = 0; i < n; i++) rss += resRe[i] * resRe[i] + resIm[i] * resIm[i];
    this.rss += rss;
    for (let j = k - 1; j >= 0; j--) {
      const at = c * k + j;
      for (let l = j + 1; l < k; l++) {
        const a = rRe[j * k + l];
        const b = rIm[j * k + l];
        cRe[at] -= a * cRe[c * k + l] - b * cIm[c * k + l];
        cIm[at] -= a * cIm[c * k + l] + b * cRe[c * k + l];
      }
      const d = rRe[j * k + j];
      cRe[at] = d > 0 ? cRe[at] / d : 0;
      cIm[at] = d > 0 ? cIm[at] / d : 0;
    }
  }

  /**
   * D = w c dphi/ds with dphi/ds = phi (phi - 1) / fs; adds this channel to D^H P D and D^H r, P the projection off the
   * columns. As r is already orthogonal to them and D^H P D = D^H D - B^H B with B = Q^H D, D itself need not be projected.
   */
  private addNormalEquations(band: Band, c: number): void {
    const { count: n, sampleRateHz: fs } = band;
    const { weight } = band.channels[c];
    const { phiRe, phiIm, dRe, dIm, columns: k, poles: m, gRe, gIm } = this;
    const qRe = this.qRe[c];
    const qIm = this.qIm[c];
    const bRe = this.bRe[c];
    const bIm = this.bIm[c];
    const resRe = this.residualRe[c];
    const resIm = this.residualIm[c];
    for (let j = 0; j < m; j++) {
      const at = j * n;
      const aRe = this.cRe[c * k + j] / fs;
      const aIm = this.cIm[c * k + j] / fs;
      let tRe = 0;
      let tIm = 0;
      for (let i = 0; i < n; i++) {
        const pRe = phiRe[at + i];
        const pIm = phiIm[at + i];
        const sRe = pRe * (pRe - 1) - pIm * pIm;
        const sIm = pRe * pIm + pIm * (pRe - 1);
        const x = (sRe * aRe - sIm * aIm) * weight[i];
        const y = (sRe * aIm + sIm * aRe) * weight[i];
        dRe[at + i] = x;
        dIm[at + i] = y;
        tRe += x * resRe[i] + y * resIm[i];
        tIm += x * resIm[i] - y * resRe[i];
      }
      gRe[j] += tRe;
      gIm[j] += tIm;
      for (let l = 0; l < k; l++) {
        const from = l * n;
        let pRe = 0;
        let pIm = 0;
        for (let i = 0; i < n; i++) {
          pRe += qRe[from + i] * dRe[at + i] + qIm[from + i] * dIm[at + i];
          pIm += qRe[from + i] * dIm[at + i] - qIm[from + i] * dRe[at + i];
        }
        bRe[l * k + j] = pRe;
        bIm[l * k + j] = pIm;
      }
      for (let l = 0; l <= j; l++) this.addProduct(c, l, j, n);
    }
  }

  /** Adds (D^H P D) at (l, j) and its conjugate at (j, l). */
  private addProduct(c: number, l: number, j: number, n: number): void {
    const { dRe, dIm, columns: k, poles: m, hRe, hIm } = this;
    const bRe = this.bRe[c];
    const bIm = this.bIm[c];
    const a = l * n;
    const b = j * n;
    let pRe = 0;
    let pIm = 0;
    for (let i = 0; i < n; i++) {
      pRe += dRe[a + i] * dRe[b + i] + dIm[a + i] * dIm[b + i];
      pIm += dRe[a + i] * dIm[b + i] - dIm[a + i] * dRe[b + i];
    }
    for (let q = 0; q < k; q++) {
      const x = bRe[q * k + l];
      const y = bIm[q * k + l];
      pRe -= x * bRe[q * k + j] + y * bIm[q * k + j];
      pIm -= x * bIm[q * k + j] - y * bRe[q * k + j];
    }
    hRe[l * m + j] += pRe;
    hIm[l * m + j] += pIm;
    if (l !== j) {
      hRe[j * m + l] += pRe;
      hIm[j * m + l] -= pIm;
    }
  }
}
