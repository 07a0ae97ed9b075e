namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>What the design asked of a port in the quarter-hours of a day, in watts. The default knows of none and says NaN. Immutable.</summary>
internal readonly record struct DayDemand
{
    private readonly double _least;
    private readonly double _most;
    private readonly double _sum;
    private readonly int _quarters;

    private DayDemand(double least, double most, double sum, int quarters) => (_least, _most, _sum, _quarters) = (least, most, sum, quarters);

    public double Least => _quarters == 0 ? double.NaN : _least;

    public double Most => _quarters == 0 ? double.NaN : _most;

    public double Mean => _quarters == 0 ? double.NaN : _sum / _quarters;

    /// <param name="quarter">Largest demand in one more quarter-hour; NaN where nothing was designed: it counts for nothing.</param>
    public DayDemand With(double quarter) => double.IsNaN(quarter) ? this : With(new DayDemand(quarter, quarter, quarter, 1));

    public DayDemand With(DayDemand other) => _quarters == 0 ? other : other._quarters == 0 ? this
        : new DayDemand(Math.Min(_least, other._least), Math.Max(_most, other._most), _sum + other._sum, _quarters + other._quarters);
}
