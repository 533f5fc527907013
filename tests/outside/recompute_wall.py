#!/usr/bin/env python3
"""Recomputes the heat and the previews of a plan folder from plan.json and layers/*.png alone.

    recompute_wall.py PLANFOLDER

An implementation of its own of the published model: Kubelka (1948) for a layer, Kubelka (1954) for two
slabs, Saunderson (1942) for the surface, Demichel (1924) and Neugebauer (1937) for what covers only in
part, CIE 15 for the colour, IEC 61966-2-1 for its code; Vogel, Fulcher and Tammann for viscosity, Frenkel (1945),
Mackenzie and Shuttleworth (1949) and Orchard (1962) for what the heat makes of grains. Fails when a pixel is
off by more than one code, or a value by more than rounding.
"""
import json
import pathlib
import sys

import numpy as np
from PIL import Image

# CIE 1931 2-degree colour-matching functions, 400 to 700 nm by 10 nm (CIE 15 table T.4; ISO/CIE 11664-1).
MATCHING = np.array([
    [0.01431, 0.000396, 0.06785001], [0.04351, 0.00121, 0.2074], [0.13438, 0.004, 0.6456],
    [0.2839, 0.0116, 1.3856], [0.34828, 0.023, 1.74706], [0.3362, 0.038, 1.77211],
    [0.2908, 0.06, 1.6692], [0.19536, 0.09098, 1.28764], [0.09564, 0.13902, 0.8129501],
    [0.03201, 0.20802, 0.46518], [0.0049, 0.323, 0.272], [0.0093, 0.503, 0.1582],
    [0.06327, 0.71, 0.07824999], [0.1655, 0.862, 0.04216], [0.2904, 0.954, 0.0203],
    [0.4334499, 0.9949501, 0.008749999], [0.5945, 0.995, 0.0039], [0.7621, 0.952, 0.0021],
    [0.9163, 0.87, 0.001650001], [1.0263, 0.757, 0.0011], [1.0622, 0.631, 0.0008],
    [1.0026, 0.503, 0.00034], [0.8544499, 0.381, 0.00019], [0.6424, 0.265, 4.999999e-05],
    [0.4479, 0.175, 2e-05], [0.2835, 0.107, 0], [0.1649, 0.061, 0], [0.0874, 0.032, 0],
    [0.04677, 0.017, 0], [0.0227, 0.00821, 0], [0.01135916, 0.004102, 0]])


def kubelka_munk(k, s, w):
    """Reflectance over black and transmittance of a layer."""
    k, s = np.asarray(k, float), np.asarray(s, float)
    safe = np.maximum(s, 1e-300)
    a = 1 + k / safe
    b = np.sqrt(np.maximum(a * a - 1, 0))
    x = b * s * w
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        d = a * np.sinh(x) + b * np.cosh(x)
        r, t = np.sinh(x) / d, b / d
    clear = s < 1e-9 * (k + 1e-12)  # Bouguer
    white = ~clear & (k < 1e-9 * s)
    r = np.where(clear, 0, np.where(white, s * w / (1 + s * w), r))
    t = np.where(clear, np.exp(-k * w), np.where(white, 1 / (1 + s * w), t))
    return r, t


class Slab:
    """Reflectance and transmittance from above, and from below."""

    def __init__(self, r, t, r_below=None, t_up=None):
        self.r, self.t = r, t
        self.r_below = r if r_below is None else r_below
        self.t_up = t if t_up is None else t_up

    def over(self, lower):
        bounce = 1 - self.r_below * lower.r
        return Slab(self.r + self.t * self.t_up * lower.r / bounce, self.t * lower.t / bounce,
                    lower.r_below + lower.t_up * lower.t * self.r_below / bounce, self.t_up * lower.t_up / bounce)


def flow_mm(segments, model):
    """Integral of surface tension / viscosity over a schedule from 20 C, by the trapezium rule in steps of 0.05 K."""
    soft, anneal = 6.6 + 2.6, 12 + 2.6
    t0 = (anneal * model["annealing_c"] - soft * model["softening_c"]) / (anneal - soft)
    b = soft * (model["softening_c"] - t0)

    def fluidity(t):
        above = np.maximum(t - t0, 1e-9)
        return np.where(t > t0, 10.0 ** -np.minimum(-2.6 + b / above, 300), 0)

    total, at = 0.0, 20.0
    for leg in segments:
        to = leg["to_c"]
        if leg["rate_c_per_h"] != 0 and to != at:
            t = np.linspace(at, to, int(abs(to - at) * 20) + 2)
            f = fluidity(t)
            total += abs(to - at) / abs(leg["rate_c_per_h"]) * 3600 * np.mean((f[1:] + f[:-1]) / 2)
        total += leg["hold_min"] * 60 * float(fluidity(np.array(to)))
        at = to
    return total * model["surface_tension_n_m"] * 1000


def fired(flow, grain, density):
    """Frenkel 1945, Mackenzie and Shuttleworth 1949, Orchard 1962: what a flow makes of a grain."""
    x = flow / (grain / 2)
    x8 = (1 - (0.6 / 0.8) ** (1 / 3)) * 8 / 3
    rate = 0.8 * 9 / 8 / (1 - 3 * x8 / 8)  # d density / dx on the way in; (1 - density) * 1.5 / p on the way out
    p = 0.2 * 1.5 / rate
    rho = 0.6 * (1 - 3 * x / 8) ** -3 if x < x8 else 1 - 0.2 * np.exp(-1.5 * (x - x8) / p)
    settled = [0 if left < 0.001 else left
               for left in (1 - (rho - 0.6) / 0.4, np.exp(-1.5 * x), np.exp(-np.pi * flow / (2 * grain)))]
    return {"fused": 1 - settled[0], "spread": 1 + (4 ** (1 / 3) - 1) * (1 - settled[1]),
            "s_air": 0.2 / (2 / 3 * density * grain / 10), "matte": settled[2]}


def worth(powder, load):
    """What a load counts for by the powder's load curve: straight in logarithms, at the ratio of its ends beyond."""
    points = powder.get("load_curve")
    if not points:
        return load
    at, w = np.log(np.array(points)).T
    x = np.log(load)
    return load * np.exp(np.interp(x, at, w) - np.clip(x, at[0], at[-1]))


class Plan:
    def __init__(self, folder):
        self.folder = pathlib.Path(folder)
        self.data = json.loads((self.folder / "plan.json").read_text(encoding="utf-8"))
        model = self.data["model"]
        self.outer, self.inner = model["surface_outer"], model["surface_inner"]
        self.density = model["density_g_cm3"]
        self.powders = {p["id"]: p for p in self.data["powders"]}
        self.sheet = self.data["sheet"]
        self.backing = np.array(self.data["light"]["backing"])
        # In the order of the stack, from the bottom.
        self.layers = sorted(self.data["layers"], key=lambda layer: layer["stack"])
        # Points that carry the same amounts share a number.
        self.shape = (self.data["grid"]["height"], self.data["grid"]["width"])
        self.place = np.zeros(self.shape[0] * self.shape[1], dtype=np.int64)
        amounts = []
        for layer in self.layers:
            with Image.open(self.folder / layer["amount"]) as png:
                amounts.append(np.asarray(png).astype(np.int64).ravel())
            self.place = np.unique(self.place * 65536 + amounts[-1], return_inverse=True)[1].ravel()
        first = np.unique(self.place, return_index=True)[1]
        self.combinations = [[a[i] / 65535 for a in amounts] for i in first]
        self.to_rgb = self.colour_matrix()

    def colour_matrix(self):
        """Spectrum seen -> linear sRGB: light, observer, adaptation to D65, primaries."""
        power = np.array(self.data["light"]["power"])
        weights = power[:, None] * MATCHING
        weights /= weights[:, 1].sum()
        d65 = np.array([0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290])
        bradford = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
        gain = (bradford @ d65) / (bradford @ weights.sum(axis=0))
        adapt = np.linalg.inv(bradford) @ np.diag(gain) @ bradford
        primaries = np.array([[0.64, 0.30, 0.15], [0.33, 0.60, 0.06], [0.03, 0.10, 0.79]])
        to_xyz = primaries * np.linalg.solve(primaries, d65)
        return weights @ adapt.T @ np.linalg.inv(to_xyz).T

    def coats(self, amounts, values):
        """(powder, values, load) from the bottom: equal neighbours are added first."""
        found = []
        for layer, amount, value in zip(self.layers, amounts, values):
            if value is None or amount == 0:
                continue
            key = (layer["powder"], tuple(value[n] for n in ("fused", "spread", "s_air", "matte")))
            if found and found[-1][0] == key:
                found[-1][1] += layer["load_g_cm2"] * amount
            else:
                found.append([key, layer["load_g_cm2"] * amount])
        return found

    def seen(self, coats, view):
        """What the eye gets, per band: the mean over which coats cover."""
        sheet_k, sheet_s = np.array(self.sheet["k"]), np.array(self.sheet["s"])
        sheet = Slab(*kubelka_munk(sheet_k, sheet_s, self.sheet["load_g_cm2"]))
        prepared = []
        for (powder, (fused, spread, s_air, matte)), load in coats:
            p = self.powders[powder]
            one_cover = 2 / 3 * self.density * p["grain_mm"] / 10
            cover = 1 - np.exp(-spread * load / one_cover)
            k, s = np.array(p["k"]), np.array(p["s"]) + s_air * (1 - fused)
            w = worth(p, load) / cover
            prepared.append((cover, Slab(*kubelka_munk(k, s, w)), s * w, matte))
        total = np.zeros(31)
        for covered in range(2 ** len(prepared)):
            share, stack, matte, scatter = 1.0, sheet, 0.0, sheet_s * self.sheet["load_g_cm2"]
            for i, (cover, slab, layer_scatter, layer_matte) in enumerate(prepared):
                if covered >> i & 1:
                    share *= cover
                    stack, matte, scatter = slab.over(stack), layer_matte, scatter + layer_scatter
                else:
                    share *= 1 - cover
            total += share * (self.on_wall(stack, matte) if view == "wall" else self.in_window(stack, scatter))
        return total

    def on_wall(self, stack, matte):
        inside = stack.over(Slab(self.backing, np.zeros(31))).r
        return self.outer * matte + (1 - self.outer) * (1 - self.inner) * inside / (1 - self.inner * inside)

    def in_window(self, stack, scatter):
        straight = np.exp(-scatter)
        inner = straight * self.outer + (1 - straight) * self.inner
        front = Slab(np.full(31, self.outer), np.full(31, 1 - self.outer), inner, 1 - inner)
        back = Slab(inner, 1 - inner, np.full(31, self.outer), np.full(31, 1 - self.outer))
        return front.over(stack).over(back).t_up

    def picture(self, values, view):
        codes = np.zeros((len(self.combinations), 3))
        for i, amounts in enumerate(self.combinations):
            linear = self.seen(self.coats(amounts, values), view) @ self.to_rgb
            encoded = np.where(linear <= 0.0031308, 12.92 * linear,
                               1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)
            codes[i] = np.clip(np.floor(255 * encoded + 0.5), 0, 255)
        return codes[self.place].reshape(self.shape + (3,))

    def final(self):
        return [layer["final"] for layer in self.layers]

    def after(self, firing):
        return [next((v for v in layer["after_firing"] if v["firing"] == firing), None) for layer in self.layers]

    def heat_faults(self):
        """Flows from the schedules, and values from the flows, that are not what the plan says."""
        faults, model, firings = [], self.data["model"], self.data["firings"]
        for firing in firings:
            flow = flow_mm(firing["segments"], model)
            if abs(flow - firing["flow_mm"]) > 1e-5 * flow + 1e-12:
                faults.append(f"firing {firing['index']}: flow {firing['flow_mm']} mm, recomputed {flow}")
        for layer in self.layers:
            powder = self.powders[layer["powder"]]
            grain, spreads = powder["grain_mm"], powder.get("spreads", 1)
            stages = [(0, layer["loose"])] + [
                (sum(f["flow_mm"] for f in firings if layer["firing"] <= f["index"] <= v["firing"]), v)
                for v in layer["after_firing"]]
            stages.append((stages[-1][0], layer["final"]))
            for flow, stated in stages:
                for name, value in fired(flow, grain, self.density).items():
                    value *= spreads if name == "spread" else 1
                    if abs(value - stated[name]) > 1e-9 * max(1, abs(value)):
                        faults.append(f"layer {layer['index']}: {name} {stated[name]}, recomputed {value}")
        return faults

    def before(self, firing):
        return [layer["loose"] if layer["firing"] == firing else earlier
                for layer, earlier in zip(self.layers, self.after(firing - 1))]


def main():
    plan = Plan(sys.argv[1])
    faults = plan.heat_faults()
    if faults:
        sys.exit("\n".join(faults))
    view = plan.data["light"]["view"]
    pictures = {"fired-wall": (plan.final(), "wall"), "fired-window": (plan.final(), "window")}
    for firing in range(1, len(plan.data["firings"]) + 1):
        pictures[f"firing-{firing}"] = (plan.after(firing), view)
        pictures["unfired" if firing == 1 else f"unfired-{firing}"] = (plan.before(firing), "wall")
    worst = 0
    for name, (values, side) in pictures.items():
        with Image.open(plan.folder / "previews" / f"{name}.png") as png:
            stored = np.asarray(png.convert("RGB"), dtype=float)
        off = np.abs(stored - plan.picture(values, side))
        print(f"{name}: at most {off.max():.0f} codes off, {np.mean(off > 0):.2%} of the values")
        worst = max(worst, off.max())
    if len(pictures) < 4 or worst > 1:
        sys.exit("the previews are not what plan.json and layers/ say")


if __name__ == "__main__":
    main()
