namespace PoeWatch.Domain.EnergyBalance;

/// <summary>The value that Student's t stays below with a probability of 95 %: both ends together leave an interval of 90 %. Pure and thread safe.</summary>
internal static class StudentQuantile
{
    // The normal distribution's own.
    internal const double Normal95 = 1.6448536269514722;

    /// <summary>By the expansion of Fisher and Cornish in 1/degrees (Abramowitz and Stegun 26.7.5): right to 0.001 from 5 degrees of freedom on.</summary>
    internal static double At95(int degrees)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(degrees, LeastDegrees);
        const double z = Normal95;
        double z2 = z * z, z3 = z2 * z, z5 = z3 * z2, z7 = z5 * z2, z9 = z7 * z2, n = degrees;
        return z
            + ((z3 + z) / (4 * n))
            + (((5 * z5) + (16 * z3) + (3 * z)) / (96 * n * n))
            + (((3 * z7) + (19 * z5) + (17 * z3) - (15 * z)) / (384 * n * n * n))
            + (((79 * z9) + (776 * z7) + (1482 * z5) - (1920 * z3) - (945 * z)) / (92160 * n * n * n * n));
    }

    /// <summary>Fewest degrees of freedom for which the expansion is good, and for which an interval says anything.</summary>
    internal const int LeastDegrees = 5;
}
