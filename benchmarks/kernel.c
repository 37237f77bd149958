/* The force kernel of square helical cutters with the linear edge-force law, written by hand: what
   benchmarks/kernel.py measures the program's own against. Same events, same angles, same parabolas.
   Side cuts, climb milling, one cutter and one law, SI. */
#include <math.h>
#include <stddef.h>

#define SAMPLES 16
#define POINTS (SAMPLES + 1)

typedef struct { double re, im; } turned;

static inline turned times(turned a, turned b) {
    return (turned){a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re};
}
static inline turned unit(double angle) { return (turned){cos(angle), sin(angle)}; }
static inline double length_of(turned a) { return sqrt(a.re * a.re + a.im * a.im); }
static inline double larger(double a, double b) { return a > b ? a : b; }

/* Largest of the heights, and of the tops of the parabolas through three neighbours; `room` is by how much a
   top can stand above its angle. */
static inline double peak(const double *height, double highest, double room) {
    double inner = 0;
    for (int i = 1; i < SAMPLES; i++) inner = larger(inner, height[i]);
    highest = larger(larger(highest, inner), larger(height[0], height[SAMPLES]));
    if (inner + room <= highest) return highest;
    for (int i = 1; i < SAMPLES; i++) {
        double before = height[i] - height[i - 1], after = height[i + 1] - height[i];
        double bend = before - after, slope = before + after;
        if (bend > 0 && fabs(slope) <= 2 * bend) highest = larger(highest, height[i] + slope * slope / (8 * bend));
    }
    return highest;
}

/* Sum of exp(-i phi) and exp(-2i phi) over evenly pitched teeth from `foremost` onwards. */
static inline void moving(double teeth, double foremost, double pitch, turned *first, turned *second) {
    turned middle = unit(-(foremost + (teeth - 1) * pitch / 2)), twice = times(middle, middle);
    double once = teeth, again = teeth;
    if (teeth > 1) {
        once = sin(teeth * pitch / 2) / sin(pitch / 2);
        again = sin(teeth * pitch) / sin(pitch);
    }
    *first = (turned){once * middle.re, once * middle.im};
    *second = (turned){again * twice.re, again * twice.im};
}

static inline double passed(double angle, double lead, double pitch) {
    return larger(ceil((angle - lead) / pitch), 0);
}

/* law: ktc, krc, kac [Pa], kte, kre, kae [N/m]; found: mean torque, then the peaks of torque, resultant,
   Fx, Fy and Fz, each of `sets`. */
void loads(size_t sets, const double *law, double diameter, double flutes, double helix, const double *depth,
           const double *width, const double *feed, double *found) {
    const double ktc = law[0], krc = law[1], kac = law[2], kte = law[3], kre = law[4], kae = law[5];
    const double slope_of_lag = 2 * tan(helix) / diameter, pitch = 2 * M_PI / flutes, edge = hypot(kte, kre);
    for (size_t set = 0; set < sets; set++) {
        double arc = 2 * asin(sqrt(width[set] / diameter)), entry = M_PI - arc, lag = slope_of_lag * depth[set];
        double window = arc + lag, span = window < pitch ? window : pitch;
        double t = ktc * feed[set], r = krc * feed[set], z = kac * feed[set];
        double knots[5] = {0, fmod(arc, pitch), fmod(lag, pitch), fmod(window, pitch), span};
        for (int i = 1; i < 4; i++) if (knots[i] > span) knots[i] = span;
        for (int i = 1; i < 3; i++)
            for (int j = 1; j < 4 - i; j++)
                if (knots[j] > knots[j + 1]) { double k = knots[j]; knots[j] = knots[j + 1]; knots[j + 1] = k; }
        turned enter = unit(-entry), leave = {-1, 0}, enter_twice = times(enter, enter);
        double best[5] = {0, 0, 0, 0, 0};
        for (int stretch = 0; stretch < 4; stretch++) {
            double lead = knots[stretch], length = knots[stretch + 1] - lead, middle = lead + length / 2;
            if (length <= 0) continue;
            double tops = passed(arc, middle, pitch), begun = passed(lag, middle, pitch);
            double in_window = passed(window, middle, pitch);
            double bottoms = in_window - begun, out = in_window - tops, net = tops - bottoms;
            turned first, second, first_bottom, second_bottom;
            moving(tops, entry + lead, pitch, &first, &second);
            moving(bottoms, entry + lead + begun * pitch - lag, pitch, &first_bottom, &second_bottom);
            first.re -= first_bottom.re; first.im -= first_bottom.im;
            second.re -= second_bottom.re; second.im -= second_bottom.im;
            double start = net * lead + bottoms * (lag - begun * pitch) + out * arc
                + pitch / 2 * (tops * (tops - 1) - bottoms * (bottoms - 1));
            double slope = net * length / SAMPLES;
            turned still = {out * (leave.re - enter.re) - net * enter.re, -out * enter.im - net * enter.im};
            turned still_twice = {out * (1 - enter_twice.re) - net * enter_twice.re,
                                  -out * enter_twice.im - net * enter_twice.im};
            turned u[POINTS], step = unit(-length / SAMPLES);
            u[0] = (turned){1, 0};
            for (int i = 1; i < POINTS; i++) u[i] = times(u[i - 1], step);
            double torque[POINTS], lift[POINTS], along[POINTS], across[POINTS], plane[POINTS];
            for (int i = 0; i < POINTS; i++) {
                turned one = times(first, u[i]), two = times(second, times(u[i], u[i]));
                double c1 = one.re + still.re, s1 = one.im + still.im;
                double c2 = two.re + still_twice.re, s2 = two.im + still_twice.im, line = start + slope * i;
                double x = -r * line / 2 + kre * c1 + kte * s1 + (t * c2 - r * s2) / 4;
                double y = t * line / 2 - kte * c1 + kre * s1 + (r * c2 + t * s2) / 4;
                torque[i] = fabs(kte * line - t * c1);
                lift[i] = fabs(kae * line - z * c1);
                along[i] = fabs(x);
                across[i] = fabs(y);
                plane[i] = sqrt(x * x + y * y);
            }
            double bow = length * length / (2 * SAMPLES * SAMPLES), once = length_of(first);
            double room = bow * (edge * once + length_of((turned){t, r}) * length_of(second));
            best[0] = peak(torque, best[0], bow * t * once);
            best[1] = peak(plane, best[1], room);
            best[2] = peak(along, best[2], room);
            best[3] = peak(across, best[3], room);
            best[4] = peak(lift, best[4], bow * z * once);
        }
        double share = depth[set] / lag;
        found[set] = diameter / 2 * depth[set] / pitch * (kte * arc + t * (enter.re + 1));
        found[sets + set] = share * diameter / 2 * best[0];
        for (int i = 1; i < 5; i++) found[(i + 1) * sets + set] = share * best[i];
    }
}
