/*
 * The ray tracer's tasks once more in plain C, for its speed and its results to be compared with:
 *
 *   cc -O2 -o tracer tracer.c -lm
 *   ./tracer chords|bowed|scattering RAYS
 *
 * prints transmission, its standard error, and bounces per ray. The tasks are those of ../tracer.bench.ts. Lengths are
 * in bore radii. A bowed tube is a straight cylinder in which light falls sideways. The method is the project's own,
 * so that the two differ by language alone; only the scattering task draws its directions without weights here.
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static uint32_t state[4] = {1, 2, 3, 4};

static uint32_t turn(uint32_t x, int k) { return (x << k) | (x >> (32 - k)); }

/* xoshiro128++, Blackman and Vigna. */
static double uniform(void) {
  uint32_t *s = state, result = turn(s[0] + s[3], 7) + s[0], t = s[1] << 9;
  s[2] ^= s[0];
  s[3] ^= s[1];
  s[1] ^= s[2];
  s[0] ^= s[3];
  s[2] ^= t;
  s[3] = turn(s[3], 11);
  return (result + 0.5) / 4294967296.0;
}

/* Transparent material of index n, unpolarised. */
static double fresnel(double cosine, double n) {
  double sin2 = 1 - cosine * cosine, q = sqrt(n * n - sin2);
  double s = (cosine - q) / (cosine + q), p = (n * n * cosine - q) / (n * n * cosine + q);
  return 0.5 * (s * s + p * p);
}

typedef struct {
  double length, tangent, fall, gloss, diffuse;
} Tube;

static long bounces = 0;

/* Straight mirror: the bounces are counted at once. */
static double chords(const Tube *tube, double x, double y, double sx, double sy) {
  double slope = sqrt(sx * sx + sy * sy), along = (x * sx + y * sy) / slope;
  double half = sqrt(1 - (x * x + y * y - along * along));
  double beyond = slope * tube->length - (half - along);
  if (beyond < 0) return 1;
  double count = 1 + floor(beyond / (2 * half));
  bounces += (long)count;
  return pow(tube->gloss * fresnel(slope * half / sqrt(1 + slope * slope), 1.5), count);
}

/* Where a + bu + cu2, a <= 0, rises above 0. */
static double parabola(double a, double b, double c) {
  double root = sqrt(fmax(0, b * b - 4 * a * c));
  if (b >= 0) return b + root > 0 ? -2 * a / (b + root) : INFINITY;
  return c > 0 ? (root - b) / (2 * c) : INFINITY;
}

/* First root of a quartic, by parabolas that bound it from above. */
static double first_root(double a0, double a1, double a2, double a3, double a4, double limit) {
  double u = 0, reach = parabola(a0, a1, a2);
  if (a3 == 0 && a4 == 0) return reach;
  for (;;) {
    double horizon = fmin(limit, u + reach);
    double value = a0 + u * (a1 + u * (a2 + u * (a3 + u * a4)));
    double slope = a1 + u * (2 * a2 + u * (3 * a3 + u * 4 * a4));
    double bend = fmax(fmax(0, a2 + u * (3 * a3 + 6 * a4 * u)), a2 + horizon * (3 * a3 + 6 * a4 * horizon));
    double step = parabola(value, slope, bend);
    if (step <= 1e-10 * u) return u + step;
    if (u + step < horizon) {
      u += step;
      reach = 4 * step;
    } else {
      if (horizon >= limit) return INFINITY;
      reach = 4 * (horizon - u);
      u = horizon;
    }
  }
}

static double follow(const Tube *tube, double x, double y, double sx, double sy) {
  double ahead = tube->length, light = 1;
  int forward = 1;
  sx -= tube->tangent;
  double f = tube->fall;
  double step = first_root(x * x + y * y - 1, 2 * (x * sx + y * sy), sx * sx + sy * sy + f * x, f * sx, 0.25 * f * f, ahead);
  while (step < ahead) {
    bounces++;
    x += (sx + 0.5 * tube->fall * step) * step;
    y += sy * step;
    sx += tube->fall * step;
    ahead -= step;
    double size = sqrt(x * x + y * y);
    x /= size;
    y /= size;
    double out = sx * x + sy * y;
    double mirrored = tube->gloss == 0 ? 0 : tube->gloss * fresnel(out / sqrt(1 + sx * sx + sy * sy), 1.5);
    double scattered = tube->diffuse * (1 - mirrored);
    light *= mirrored + scattered;
    if (light < 1e-6) return 0;
    if (scattered > 0 && uniform() * (mirrored + scattered) < scattered) {
      double around, axial, in;
      do {
        around = 2 * uniform() - 1;
        axial = 2 * uniform() - 1;
      } while (around * around + axial * axial >= 1);
      in = sqrt(1 - around * around - axial * axial);
      if ((axial > 0) != forward) {
        forward = !forward;
        ahead = tube->length - ahead;
      }
      double per = 1 / fmax(1e-12, fabs(axial));
      sx = (-in * x - around * y) * per;
      sy = (-in * y + around * x) * per;
    } else {
      sx -= 2 * out * x;
      sy -= 2 * out * y;
    }
    step = first_root(2 * (x * sx + y * sy), sx * sx + sy * sy + f * x, f * sx, 0.25 * f * f, 0, ahead);
  }
  return forward ? light : 0;
}

int main(int count, char **words) {
  if (count != 3) {
    fprintf(stderr, "usage: tracer chords|bowed|scattering RAYS\n");
    return 2;
  }
  long rays = atol(words[2]);
  const char *task = words[1];
  double bore = 2.5, length = 150, radius = bore / 2, bow = 1, sum = 0, squares = 0;
  Tube tube = {length / radius, 0, 0, 0.8, 0};
  if (strcmp(task, "bowed") == 0) {
    tube.tangent = 4 * bow / length;
    tube.fall = 8 * bow * radius / (length * length);
  }
  if (strcmp(task, "scattering") == 0) tube = (Tube){10, 0, 0, 0, 1};
  for (long i = 0; i < rays; i++) {
    double x, y, passed;
    do {
      x = 2 * uniform() - 1;
      y = 2 * uniform() - 1;
    } while (x * x + y * y >= 1);
    if (strcmp(task, "chords") == 0) passed = chords(&tube, x, y, -0.04, 0);
    else if (strcmp(task, "bowed") == 0) passed = follow(&tube, x, y, -0.04, 0);
    else {
      double v = uniform(), slope = sqrt(v / (1 - v)), around = 2 * M_PI * uniform();
      passed = follow(&tube, x, y, slope * cos(around), slope * sin(around));
    }
    sum += passed;
    squares += passed * passed;
  }
  double mean = sum / rays;
  printf("%.9g %.3g %.6g\n", mean, sqrt((squares / rays - mean * mean) / (rays - 1)), (double)bounces / rays);
  return 0;
}
