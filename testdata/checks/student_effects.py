# Location of a few values that are draws from Student's t with 2 degrees of freedom and
# known scales: Pitman's estimator, the mean of the density over all places, by the trapezoid
# rule on a fine grid of sinh-stretched steps. Standard library only.
import math
def pitman(values, scales, df=2.0):
    def logp(a):
        return -sum((df + 1) / 2 * math.log1p(((v - a) / s) ** 2 / df) for v, s in zip(values, scales))
    centre = values[0]
    n, top = 400000, math.asinh(1e7)
    step = 2 * top / n
    unit = min(scales)
    peak = max(logp(v) for v in values)
    mass = moment = 0.0
    for i in range(n + 1):
        u = -top + i * step
        a = centre + unit * math.sinh(u)
        w = math.exp(logp(a) - peak) * math.cosh(u)
        mass += w
        moment += w * (a - centre)
    return centre + moment / mass
cases = [([0, 0.01], [0.00075, 0.006]), ([0, 0.05], [0.00075, 0.006]), ([0, 0.02, 0.022], [0.00075, 0.006, 0.006]),
         ([0, 0.02, -0.03], [0.00075, 0.006, 0.006]), ([0.001, 0.004, 0.05, 0.006], [0.006]*4), ([0, 0.03], [0.006, 0.006])]
print('values,scales,middle')
for v, s in cases:
    print(' '.join(map(str, v)) + ',' + ' '.join(map(str, s)) + ',%.7f' % pitman(v, s))
