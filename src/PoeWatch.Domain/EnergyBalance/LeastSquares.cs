namespace PoeWatch.Domain.EnergyBalance;

/// <summary>
/// Ordinary least squares of a few columns by the normal equations; columns are scaled to 1 beforehand, which keeps a constant, a line and a square apart well within a double.
/// Pure.
/// </summary>
internal sealed class LeastSquares
{
    private readonly double[] _scale;
    private readonly double[,] _inverse;

    private LeastSquares(double[] scale, double[,] inverse, double[] coefficients, double variance)
    {
        (_scale, _inverse, Coefficients, Variance) = (scale, inverse, coefficients, variance);
    }

    /// <summary>One for each column.</summary>
    internal double[] Coefficients { get; }

    /// <summary>Of the residuals, by the degrees of freedom.</summary>
    internal double Variance { get; }

    /// <summary>Of two coefficients.</summary>
    internal double Covariance(int a, int b) => Variance * _inverse[a, b] / (_scale[a] * _scale[b]);

    /// <summary>Null where there are too few rows, or the columns cannot be told apart.</summary>
    internal static LeastSquares? Fit(double[][] rows, double[] values)
    {
        var width = rows.Length == 0 ? 0 : rows[0].Length;
        if (rows.Length <= width)
        {
            return null;
        }

        var scale = Enumerable.Range(0, width).Select(column => rows.Max(row => Math.Abs(row[column]))).ToArray();
        if (Array.Exists(scale, static s => s == 0.0))
        {
            return null;
        }

        var normal = new double[width, width];
        var right = new double[width];
        for (var row = 0; row < rows.Length; row++)
        {
            for (var a = 0; a < width; a++)
            {
                right[a] += rows[row][a] / scale[a] * values[row];
                for (var b = 0; b < width; b++)
                {
                    normal[a, b] += rows[row][a] / scale[a] * (rows[row][b] / scale[b]);
                }
            }
        }

        if (Inverse(normal) is not { } inverse)
        {
            return null;
        }

        var coefficients = Enumerable.Range(0, width).Select(a => Enumerable.Range(0, width).Sum(b => inverse[a, b] * right[b]) / scale[a]).ToArray();
        var squares = rows.Zip(values, (row, value) => Math.Pow(value - row.Zip(coefficients, (x, c) => x * c).Sum(), 2)).Sum();
        return new LeastSquares(scale, inverse, coefficients, squares / (rows.Length - width));
    }

    // Gauss and Jordan with the largest pivot; null where what is left of a column is rounding.
    private static double[,]? Inverse(double[,] of)
    {
        const double Nothing = 1e-12;
        var width = of.GetLength(0);
        var work = new double[width, 2 * width];
        for (var row = 0; row < width; row++)
        {
            for (var column = 0; column < width; column++)
            {
                work[row, column] = of[row, column];
            }

            work[row, width + row] = 1.0;
        }

        for (var column = 0; column < width; column++)
        {
            var pivot = Enumerable.Range(column, width - column).MaxBy(row => Math.Abs(work[row, column]));
            if (Math.Abs(work[pivot, column]) < Nothing * of[column, column])
            {
                return null;
            }

            for (var at = 0; at < 2 * width; at++)
            {
                (work[column, at], work[pivot, at]) = (work[pivot, at], work[column, at]);
            }

            Eliminate(work, column);
        }

        var inverse = new double[width, width];
        for (var row = 0; row < width; row++)
        {
            for (var column = 0; column < width; column++)
            {
                inverse[row, column] = work[row, width + column] / work[row, row];
            }
        }

        return inverse;
    }

    private static void Eliminate(double[,] work, int column)
    {
        for (var row = 0; row < work.GetLength(0); row++)
        {
            if (row == column)
            {
                continue;
            }

            var factor = work[row, column] / work[column, column];
            for (var at = column; at < work.GetLength(1); at++)
            {
                work[row, at] -= factor * work[column, at];
            }
        }
    }
}
