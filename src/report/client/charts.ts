import type { ChartConfiguration, ChartDataset, Chart as ChartJs, ScaleOptionsByType } from "chart.js";
import type { AxisSpec, ChartSpec, LineSpec } from "../chart-spec.ts";
import { DASHES, readInks, WIDTHS } from "./inks.ts";
import { bandHeight, overlay, type View } from "./overlay.ts";

/** chart.js stands before this script in the page. */
declare const Chart: typeof ChartJs;

type ScatterChart = ChartJs<"scatter">;

interface Drawn {
  spec: ChartSpec;
  chart: ScatterChart;
  plot: HTMLElement;
}

/** All charts of the page. */
export interface Charts {
  choose(mark: number | null): void;
  /** Draws everything in the colours that now hold. */
  recolour(): void;
  /** Sizes for paper, sharp; and back to the window. */
  forPrint(on: boolean): void;
}

const FONT = { family: "system-ui, sans-serif", size: 12 };
/** Widths on paper in px, at which the text comes out readable on A4 and on Letter. */
const PRINT_WIDE_PX = 680;
const PRINT_SMALL_PX = 330;
/** Wide charts are made lower on paper, so that two or three share a page. */
const PRINT_HEIGHT = 0.66;
const PRINT_PIXEL_RATIO = 2.5;

function axis(spec: AxisSpec, view: View): ScaleOptionsByType<"linear" | "logarithmic"> {
  const { ticks } = spec;
  const options = {
    type: spec.scale === "log" ? "logarithmic" : "linear",
    min: spec.min,
    max: spec.max,
    title: { display: spec.title !== "", text: spec.title, color: view.inks.soft, font: FONT },
    grid: { color: view.inks.grid },
    border: { color: view.inks.edge },
    ticks: {
      color: view.inks.soft,
      font: FONT,
      maxRotation: 0,
      autoSkip: ticks === null || spec.scale === "log",
      ...(ticks === null
        ? {
            maxTicksLimit: 9,
            includeBounds: false,
            callback: (value: number | string) => `${value}`.replace("-", "\u2212"),
          }
        : { callback: (value: number | string) => ticks.find(({ at }) => at === value)?.text ?? "" }),
    },
    ...(ticks === null
      ? {}
      : {
          afterBuildTicks: (scale: { ticks: { value: number }[] }) => {
            scale.ticks = ticks.map(({ at }) => ({ value: at }));
          },
        }),
  };
  return options as unknown as ScaleOptionsByType<"linear" | "logarithmic">;
}

function dataset(line: LineSpec, view: View): ChartDataset<"scatter"> {
  const isChosen = line.onlyChosen && line.mark === view.chosen;
  return {
    data: line.x.map((x, i) => ({ x, y: line.y[i]! })),
    hidden: line.onlyChosen && !isChosen,
    showLine: true,
    pointRadius: 0,
    pointHitRadius: 0,
    pointHoverRadius: 0,
    borderColor: isChosen ? view.inks.chosen : view.inks.lines[line.look],
    borderDash: isChosen ? [] : DASHES[line.look],
    borderWidth: isChosen ? 3 : WIDTHS[line.look],
  };
}

/** The points once more, unseen: chart.js finds them under the pointer, the overlay draws them. */
function targets({ points }: ChartSpec): ChartDataset<"scatter"> {
  return {
    data: points.map(({ x, y }) => ({ x, y })),
    pointRadius: 0,
    pointHoverRadius: 0,
    pointHitRadius: 12,
    showLine: false,
  };
}

function configure(
  spec: ChartSpec,
  view: View,
  onPick: (mark: number) => void,
): ChartConfiguration<"scatter"> {
  const last = spec.lines.length;
  return {
    type: "scatter",
    data: { datasets: [...spec.lines.map((line) => dataset(line, view)), targets(spec)] },
    options: {
      animation: false,
      responsive: true,
      maintainAspectRatio: false,
      layout: { padding: (context) => ({ top: bandHeight(spec, context.chart.width), right: 10 }) },
      scales: { x: axis(spec.x, view), y: axis(spec.y, view) },
      onClick: (_event, elements) => {
        const hit = elements.find((element) => element.datasetIndex === last);
        const mark = hit === undefined ? null : (spec.points[hit.index]?.mark ?? null);
        if (mark !== null) onPick(mark);
      },
      plugins: {
        legend: { display: false },
        tooltip: {
          displayColors: false,
          filter: (item) => item.datasetIndex === last,
          callbacks: { label: (item) => spec.points[item.dataIndex]?.tip ?? "" },
        },
      },
    },
    plugins: [overlay(spec, view)],
  };
}

/** @param onPick told when a point that stands for something is clicked */
export function drawCharts(specs: ChartSpec[], onPick: (mark: number) => void): Charts {
  const view: View = { inks: readInks(), chosen: null };
  const drawn: Drawn[] = specs.flatMap((spec) => {
    const canvas = document.getElementById(spec.id);
    const plot = canvas?.parentElement;
    if (!(canvas instanceof HTMLCanvasElement) || !plot) return [];
    plot.style.height = `${spec.heightPx}px`;
    return [{ spec, plot, chart: new Chart(canvas, configure(spec, view, onPick)) }];
  });

  function update({ spec, chart }: Drawn): void {
    chart.data.datasets = [...spec.lines.map((line) => dataset(line, view)), targets(spec)];
    chart.update("none");
  }

  return {
    choose(mark) {
      view.chosen = mark;
      for (const each of drawn) {
        if (each.spec.points.length > 0 || each.spec.lines.some((line) => line.onlyChosen)) update(each);
      }
    },
    recolour() {
      view.inks = readInks();
      for (const each of drawn) {
        each.chart.options.scales = { x: axis(each.spec.x, view), y: axis(each.spec.y, view) };
        update(each);
      }
    },
    forPrint(on) {
      for (const { chart, plot, spec } of drawn) {
        chart.options.devicePixelRatio = on ? PRINT_PIXEL_RATIO : window.devicePixelRatio;
        const small = plot.closest(".small") !== null;
        if (on && small) chart.resize(PRINT_SMALL_PX, spec.heightPx);
        else if (on) chart.resize(PRINT_WIDE_PX, spec.heightPx * PRINT_HEIGHT);
        else chart.resize();
      }
    },
  };
}
