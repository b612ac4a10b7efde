import type { Chart, Plugin } from "chart.js";
import type { ChartSpec, PointLook, PointSpec } from "../chart-spec.ts";
import type { Inks } from "./inks.ts";

/** What the drawing depends on besides the chart itself. */
export interface View {
  inks: Inks;
  chosen: number | null;
}

const ROW_PX = 16;
/** Rows of labels above a wide and a narrow chart. */
const ROWS_WIDE = 3;
const ROWS_NARROW = 5;
const NARROW_PX = 600;
const FONT_PX = 12;

/** Height of the band above the plot that takes the labels. */
export function bandHeight(spec: ChartSpec, widthPx: number): number {
  if (spec.labels !== "band" || spec.points.every((point) => point.label === "")) return 0;
  return ROW_PX * (widthPx < NARROW_PX ? ROWS_NARROW : ROWS_WIDE) + 8;
}

function shape(context: CanvasRenderingContext2D, look: PointLook, x: number, y: number, size: number): void {
  context.beginPath();
  if (look === "partial" || look === "first") {
    context.moveTo(x, y - size);
    context.lineTo(x + size, y);
    context.lineTo(x, y + size);
    context.lineTo(x - size, y);
    context.closePath();
  } else if (look === "combination") {
    context.moveTo(x - size, y - size);
    context.lineTo(x + size, y + size);
    context.moveTo(x - size, y + size);
    context.lineTo(x + size, y - size);
  } else {
    context.rect(x - size, y - size, 2 * size, 2 * size);
  }
}

/** Writes labels in rows above the plot, the chosen and the strongest first; one that finds no room is left to the table. */
function labelBand(chart: Chart<"scatter">, spec: ChartSpec, view: View): void {
  const { ctx, chartArea, width } = chart;
  const rows = width < NARROW_PX ? ROWS_NARROW : ROWS_WIDE;
  const taken: [number, number][][] = Array.from({ length: rows }, () => []);
  const isChosen = (point: PointSpec) => point.mark !== null && point.mark === view.chosen;
  const order = spec.points
    .filter((point) => point.label !== "")
    .sort((a, b) => Number(isChosen(b)) - Number(isChosen(a)) || b.y - a.y);
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  for (const point of order) {
    ctx.font = `${isChosen(point) ? "700" : "500"} ${FONT_PX}px system-ui, sans-serif`;
    const half = ctx.measureText(point.label).width / 2 + 4;
    const x = chart.scales.x!.getPixelForValue(point.x);
    const middle = Math.min(Math.max(x, chartArea.left + half - 4), chartArea.right - half + 4);
    const row = taken.findIndex((spans) =>
      spans.every(([from, to]) => middle + half < from || middle - half > to),
    );
    if (row < 0) continue;
    taken[row]!.push([middle - half, middle + half]);
    const y = chartArea.top - 8 - ROW_PX * (row + 0.5);
    ctx.strokeStyle = isChosen(point) ? view.inks.chosen : view.inks.edge;
    ctx.lineWidth = isChosen(point) ? 2 : 0.75;
    ctx.beginPath();
    ctx.moveTo(middle, y + ROW_PX / 2);
    ctx.lineTo(x, chartArea.top - 2);
    ctx.lineTo(x, chart.scales.y!.getPixelForValue(point.y) - 6);
    ctx.stroke();
    ctx.fillStyle = isChosen(point) ? view.inks.chosen : view.inks.ink;
    ctx.fillText(point.label, middle, y);
  }
}

function errorBar(chart: Chart<"scatter">, point: PointSpec, colour: string): void {
  const { ctx, scales } = chart;
  const y = scales.y!.getPixelForValue(point.y);
  const from = scales.x!.getPixelForValue(point.x - point.ci95X!);
  const to = scales.x!.getPixelForValue(point.x + point.ci95X!);
  ctx.strokeStyle = colour;
  ctx.lineWidth = 2;
  ctx.beginPath();
  ctx.moveTo(from, y);
  ctx.lineTo(to, y);
  for (const end of [from, to]) {
    ctx.moveTo(end, y - 5);
    ctx.lineTo(end, y + 5);
  }
  ctx.stroke();
}

/** Writes the value on the side away from zero where there is room, over a halo that keeps it clear of lines. */
function besideLabel(chart: Chart<"scatter">, point: PointSpec, { inks, chosen }: View): void {
  const { ctx, scales, chartArea } = chart;
  const isChosen = point.mark !== null && point.mark === chosen;
  ctx.font = `${isChosen ? "700" : "400"} ${FONT_PX}px system-ui, sans-serif`;
  ctx.textBaseline = "middle";
  ctx.fillStyle = isChosen ? inks.chosen : inks.ink;
  const reach = point.ci95X ?? 0;
  const right = scales.x!.getPixelForValue(point.x + reach) + 12;
  const left = scales.x!.getPixelForValue(point.x - reach) - 12;
  const size = ctx.measureText(point.label).width;
  const fitsRight = right + size < chartArea.right;
  const fitsLeft = left - size > chartArea.left;
  const goesRight = point.x < 0 ? !fitsLeft : fitsRight;
  const y = scales.y!.getPixelForValue(point.y);
  ctx.textAlign = goesRight ? "left" : "right";
  ctx.strokeStyle = inks.paper;
  ctx.lineWidth = 4;
  ctx.strokeText(point.label, goesRight ? right : left, y);
  ctx.fillText(point.label, goesRight ? right : left, y);
}

function drawPoint(chart: Chart<"scatter">, point: PointSpec, spec: ChartSpec, view: View): void {
  const { ctx, scales } = chart;
  const { inks, chosen } = view;
  const isChosen = point.mark !== null && point.mark === chosen;
  const colour = isChosen ? inks.chosen : inks.points[point.look];
  const isFilled = point.look === "partial" || point.look === "first";
  if (point.ci95X !== null) errorBar(chart, point, isChosen ? inks.chosen : inks.ink);
  const x = scales.x!.getPixelForValue(point.x);
  const y = scales.y!.getPixelForValue(point.y);
  shape(ctx, point.look, x, y, isFilled ? 5 : 4);
  ctx.lineWidth = isFilled ? 1 : 2;
  ctx.strokeStyle = isFilled ? inks.paper : colour;
  ctx.fillStyle = colour;
  if (isFilled) ctx.fill();
  ctx.stroke();
  if (isChosen) {
    ctx.beginPath();
    ctx.arc(x, y, 11, 0, 2 * Math.PI);
    ctx.strokeStyle = inks.chosen;
    ctx.lineWidth = 2.5;
    ctx.stroke();
  }
  if (spec.labels === "beside" && point.label !== "") besideLabel(chart, point, view);
}

/** Draws what chart.js has no part for: points with intervals and labels, the line of the ideal. */
export function overlay(spec: ChartSpec, view: View): Plugin<"scatter"> {
  return {
    id: "overlay",
    beforeDatasetsDraw(chart) {
      if (spec.ruleX === null) return;
      const { ctx, chartArea, scales } = chart;
      const x = scales.x!.getPixelForValue(spec.ruleX);
      ctx.save();
      ctx.strokeStyle = view.inks.ink;
      ctx.lineWidth = 1.5;
      ctx.beginPath();
      ctx.moveTo(x, chartArea.top);
      ctx.lineTo(x, chartArea.bottom);
      ctx.stroke();
      ctx.restore();
    },
    afterDatasetsDraw(chart) {
      chart.ctx.save();
      if (spec.labels === "band") labelBand(chart, spec, view);
      for (const point of spec.points) drawPoint(chart, point, spec, view);
      chart.ctx.restore();
    },
  };
}
