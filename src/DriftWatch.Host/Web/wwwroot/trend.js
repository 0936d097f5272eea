// Draws the trend live in place of the picture that the server has drawn: zoom by dragging, points that open.
"use strict";
(() => {
  const MONTHS_OF_NOTHING = 30 * 86400; // Room around a single point, s.
  const css = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const seconds = instant => Date.parse(instant) / 1000;
  const words = { accepted: "taken", ambiguous: "not decided yet", rejected: "left out" };

  for (const figure of document.querySelectorAll("figure[data-trend]")) {
    start(figure).catch(error => console.error(error)); // The picture stays.
  }

  async function start(figure) {
    const answer = await fetch(figure.dataset.trend, { headers: { Accept: "application/json" } });
    if (!answer.ok) {
      return;
    }

    const trend = await answer.json();
    if (trend.points.length === 0) {
      return;
    }

    const factor = Number(figure.dataset.factor), unit = figure.dataset.unit;
    const decimals = Number(figure.dataset.decimals) + 1;
    const number = new Intl.NumberFormat(undefined, { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
    const day = new Intl.DateTimeFormat(undefined, { dateStyle: "medium", timeStyle: "short", timeZone: "UTC" });
    const gauge = absolute => (absolute - trend.ambientPa) / factor;
    const points = trend.points.map(point => ({
      at: seconds(point.instant), value: gauge(point.prechargePa), half: point.halfWidthPa / factor,
      standing: point.standing, current: point.current, window: point.window,
    }));
    const line = trend.line.map(place => ({
      at: seconds(place.instant), value: gauge(place.levelPa), half: place.halfWidthPa / factor, ahead: place.ahead,
    }));
    const marks = trend.marks.map(mark => ({
      at: seconds(mark.instant), what: mark.what,
      value: mark.prechargePa == null ? null : gauge(mark.prechargePa), half: mark.halfWidthPa == null ? null : mark.halfWidthPa / factor,
    }));
    // When the lower limit is reached; an open end runs to the edge. One that lies behind the windows is not foretold any more.
    const crossing = trend.crossing?.best && !line.some(place => !place.ahead && place.at >= seconds(trend.crossing.best))
      ? { from: trend.crossing.earliest && seconds(trend.crossing.earliest), best: seconds(trend.crossing.best), to: trend.crossing.latest && seconds(trend.crossing.latest) }
      : null;
    const limits = [["upper limit", gauge(trend.upperLimitPa)], ["nominal", gauge(trend.nominalPa)], ["lower limit", gauge(trend.lowerLimitPa)]];

    const holder = document.createElement("div");
    holder.className = "live";
    holder.tabIndex = 0;
    holder.setAttribute("role", "application");
    holder.setAttribute("aria-label", figure.querySelector("img").alt + " Left and right arrow keys step through the windows, Enter opens one.");
    const readout = figure.querySelector(".readout");

    const extent = points.map(point => point.at).concat(line.map(place => place.at), trend.asOf ? [seconds(trend.asOf)] : []);
    if (crossing) {
      // Near enough not to press the trend into a corner it belongs on the picture with its interval.
      const most = Math.max(...extent) + 0.3 * (Math.max(...extent) - Math.min(...extent));
      extent.push(...[crossing.best, crossing.from, crossing.to].filter(at => at && at <= most));
    }

    const room = Math.max(0.02 * (Math.max(...extent) - Math.min(...extent)), extent.length > 1 ? 86400 : MONTHS_OF_NOTHING);
    const first = Math.min(...extent) - room, last = Math.max(...extent) + room;

    const verticalRange = (left, right) => {
      const values = limits.map(limit => limit[1]);
      for (const point of points) {
        // A plateau of trapped fluid far above must not press the trend flat.
        if (point.at >= left && point.at <= right && point.standing === "accepted") {
          values.push(point.value - point.half, point.value + point.half);
        }
      }

      for (const mark of marks) {
        if (mark.value !== null && mark.at >= left && mark.at <= right) {
          values.push(mark.value - mark.half, mark.value + mark.half);
        }
      }

      for (const place of line) {
        if (place.at >= left && place.at <= right) {
          values.push(place.value);
        }
      }

      const low = Math.min(...values), high = Math.max(...values);
      return [low - 0.08 * (high - low), high + 0.1 * (high - low)];
    };

    let chosen = -1;
    const plot = new uPlot({
      width: figure.clientWidth - 24,
      height: heightFor(figure.clientWidth),
      tzDate: stamp => uPlot.tzDate(new Date(stamp * 1000), "Etc/UTC"),
      legend: { show: false },
      cursor: { y: false, points: { show: false }, drag: { x: true, y: false }, bind: { dblclick: () => () => { plot.setScale("x", { min: first, max: last }); return null; } } },
      scales: {
        x: { time: true, range: (_, low, high) => [low, high] },
        y: { range: self => verticalRange(self.scales.x.min ?? first, self.scales.x.max ?? last) },
      },
      axes: [
        { stroke: () => css("--soft"), grid: { stroke: () => css("--grid"), width: 1 }, ticks: { stroke: () => css("--grid") }, font: "13px system-ui, sans-serif", space: 76, values: days },
        { stroke: () => css("--soft"), grid: { stroke: () => css("--grid"), width: 1 }, ticks: { stroke: () => css("--grid") }, font: "13px system-ui, sans-serif", size: 60,
          label: `Precharge, ${unit} gauge`, labelFont: "13px system-ui, sans-serif",
          values: (_, splits) => { const format = new Intl.NumberFormat(undefined, { maximumFractionDigits: decimals + 1 }); return splits.map(split => format.format(split)); } },
      ],
      series: [{}, { paths: () => null, points: { show: false } }],
      hooks: { draw: [draw], setCursor: [self => choose(self.cursor.idx, false)] },
    }, [points.map(point => point.at), points.map(point => point.value)], holder);
    figure.querySelector("img").replaceWith(holder);
    plot.setScale("x", { min: first, max: last });
    readout.hidden = false;
    readout.textContent = "Point at a window, or use the arrow keys; Enter or a tap on it opens it. Drag to look closer, double-click for all.";

    holder.addEventListener("keydown", event => {
      const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
      if (step !== undefined) {
        event.preventDefault();
        choose(chosen < 0 ? (step > 0 ? 0 : points.length - 1) : Math.min(points.length - 1, Math.max(0, chosen + step)), true);
      } else if (event.key === "Enter" && chosen >= 0) {
        open(points[chosen]);
      }
    });
    plot.over.addEventListener("click", event => {
      const box = plot.over.getBoundingClientRect();
      const near = nearest(event.clientX - box.left, event.clientY - box.top);
      if (near) {
        open(near);
      }
    });
    new ResizeObserver(() => plot.setSize({ width: figure.clientWidth - 24, height: heightFor(figure.clientWidth) })).observe(figure);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => plot.redraw());
    figure.dataset.live = "true";

    // Names of months, in the reader's words: 3/10 is two days of the year.
    function days(_, splits, axis, space, step) {
      const [name, under] = step >= 28 * 86400 ? [{ month: "short" }, { year: "numeric" }]
        : step >= 86400 ? [{ day: "numeric", month: "short" }, { year: "numeric" }]
        : [{ hour: "2-digit", minute: "2-digit" }, { day: "numeric", month: "short" }];
      const form = parts => new Intl.DateTimeFormat(undefined, { ...parts, timeZone: "UTC" });
      const upper = form(name), lower = form(under);
      let before = "";
      return splits.map(split => {
        const below = lower.format(split * 1000), told = below === before ? "" : "\n" + below;
        before = below;
        return upper.format(split * 1000) + told;
      });
    }

    function heightFor(width) {
      return Math.round(Math.max(280, Math.min(460, width * 0.5)));
    }

    function open(point) {
      location.href = figure.dataset.windows + point.window;
    }

    // Gloves: a point is hit within 22 px of its middle.
    function nearest(x, y) {
      let best = null, least = 22;
      for (const point of points) {
        const distance = Math.hypot(plot.valToPos(point.at, "x") - x, plot.valToPos(point.value, "y") - y);
        if (distance < least) {
          least = distance;
          best = point;
        }
      }

      return best;
    }

    function choose(index, byKey) {
      if (index === null || index === undefined || index === chosen) {
        return;
      }

      chosen = index;
      const point = points[index];
      readout.textContent = `${day.format(point.at * 1000)} UTC: ${number.format(point.value)} ± ${number.format(point.half)} ${unit} gauge, ${words[point.standing]}`;
      if (byKey) {
        const { min, max } = plot.scales.x;
        if (point.at < min || point.at > max) {
          plot.setScale("x", { min: point.at - (max - min) / 2, max: point.at + (max - min) / 2 });
        }
      }

      plot.redraw(false);
    }

    function draw(self) {
      const ctx = self.ctx, pixels = devicePixelRatio;
      const x = value => self.valToPos(value, "x", true), y = value => self.valToPos(value, "y", true);
      const { left, top, width, height } = self.bbox;
      ctx.save();
      ctx.beginPath();
      ctx.rect(left, top, width, height);
      ctx.clip();
      ctx.font = `${12 * pixels}px system-ui, sans-serif`;
      ctx.textAlign = "left";
      ctx.textBaseline = "bottom";

      for (const [name, value] of limits) {
        ctx.strokeStyle = ctx.fillStyle = name === "nominal" ? css("--soft") : css("--loss");
        ctx.lineWidth = pixels;
        ctx.setLineDash(name === "nominal" ? [2 * pixels, 4 * pixels] : [7 * pixels, 4 * pixels]);
        path(ctx, [[left, y(value)], [left + width, y(value)]]);
        ctx.fillText(name, left + 6 * pixels, y(value) - 2 * pixels);
      }

      ctx.setLineDash([]);
      if (line.length > 1) {
        ctx.fillStyle = css("--band");
        ctx.beginPath();
        line.forEach((place, index) => ctx[index ? "lineTo" : "moveTo"](x(place.at), y(place.value + place.half)));
        [...line].reverse().forEach(place => ctx.lineTo(x(place.at), y(place.value - place.half)));
        ctx.fill();
        ctx.strokeStyle = css("--link");
        ctx.lineWidth = 2 * pixels;
        const known = line.filter(place => !place.ahead), ahead = line.slice(Math.max(0, known.length - 1));
        path(ctx, known.map(place => [x(place.at), y(place.value)]));
        ctx.setLineDash([6 * pixels, 5 * pixels]);
        path(ctx, ahead.map(place => [x(place.at), y(place.value)]));
        ctx.setLineDash([]);
      }

      if (crossing) {
        const at = y(limits[2][1]), from = crossing.from ? x(crossing.from) : left, to = crossing.to ? x(crossing.to) : left + width, cap = 6 * pixels, size = 5 * pixels;
        ctx.strokeStyle = ctx.fillStyle = css("--link");
        ctx.lineWidth = 2 * pixels;
        path(ctx, [[from, at], [to, at]]);
        if (crossing.from) path(ctx, [[from, at - cap], [from, at + cap]]);
        if (crossing.to) path(ctx, [[to, at - cap], [to, at + cap]]);
        ctx.beginPath();
        const best = x(crossing.best);
        ctx.moveTo(best, at - size); ctx.lineTo(best + size, at); ctx.lineTo(best, at + size); ctx.lineTo(best - size, at); ctx.closePath();
        ctx.fill();
      }

      ctx.strokeStyle = ctx.fillStyle = css("--good");
      ctx.lineWidth = 1.5 * pixels;
      ctx.textBaseline = "top";
      for (const mark of marks) {
        const at = x(mark.at), arm = 5 * pixels;
        path(ctx, [[at, top + height], [at, top + 2 * pixels]]);
        path(ctx, [[at - arm, top + 2 * pixels + arm], [at, top + 2 * pixels], [at + arm, top + 2 * pixels + arm]]);
        if (mark.value !== null) {
          // A check by hand is a point of its own: a square with its interval.
          const size = 4 * pixels;
          path(ctx, [[at, y(mark.value - mark.half)], [at, y(mark.value + mark.half)]]);
          ctx.strokeRect(at - size, y(mark.value) - size, 2 * size, 2 * size);
        }
        // On a phone there is no room for words: the list below the chart says what an arrow is.
        const across = ctx.measureText(mark.what).width + 8 * pixels;
        if (width >= 480 * pixels) ctx.fillText(mark.what, at + across > left + width ? at - across : at + 8 * pixels, top + 3 * pixels);
      }

      if (trend.asOf) {
        ctx.strokeStyle = css("--edge");
        ctx.setLineDash([pixels, 3 * pixels]);
        path(ctx, [[x(seconds(trend.asOf)), top], [x(seconds(trend.asOf)), top + height]]);
        ctx.setLineDash([]);
      }

      points.forEach((point, index) => drawPoint(ctx, point, x(point.at), y(point.value), y, pixels, index === chosen, top, height));
      ctx.restore();
    }

    function drawPoint(ctx, point, x, y, toY, pixels, isChosen, top, height) {
      const size = 3.4 * pixels;
      const colour = point.standing === "ambiguous" ? css("--excess") : point.current ? css("--link") : css("--soft");
      ctx.strokeStyle = ctx.fillStyle = colour;
      ctx.lineWidth = 1.4 * pixels;
      if (point.standing === "accepted") {
        ctx.globalAlpha = 0.55;
        path(ctx, [[x, toY(point.value - point.half)], [x, toY(point.value + point.half)]]);
        ctx.globalAlpha = 1;
      } else {
        y = Math.min(top + height - size, Math.max(top + size, y)); // Far off: at the edge, still there to be opened.
      }

      ctx.beginPath();
      if (point.standing === "accepted") {
        ctx.arc(x, y, size * 0.8, 0, 2 * Math.PI);
        point.current ? ctx.fill() : ctx.stroke();
      } else if (point.standing === "ambiguous") {
        ctx.moveTo(x, y - size * 1.4); ctx.lineTo(x + size * 1.4, y); ctx.lineTo(x, y + size * 1.4); ctx.lineTo(x - size * 1.4, y); ctx.closePath();
        ctx.stroke();
      } else {
        ctx.moveTo(x - size, y - size); ctx.lineTo(x + size, y + size);
        ctx.moveTo(x + size, y - size); ctx.lineTo(x - size, y + size);
        ctx.stroke();
      }

      if (isChosen) {
        ctx.strokeStyle = css("--ink");
        ctx.lineWidth = 2 * pixels;
        ctx.beginPath();
        ctx.arc(x, y, size * 2.2, 0, 2 * Math.PI);
        ctx.stroke();
      }
    }

    function path(ctx, places) {
      ctx.beginPath();
      places.forEach((place, index) => ctx[index ? "lineTo" : "moveTo"](place[0], place[1]));
      ctx.stroke();
    }
  }
})();
