namespace PoeWatch.Simulator.World;

/// <summary>
/// Chance without a stream: every number is a hash of seed, name and place in time, so that asking twice, later or in another
/// order gives the same world. Immutable and thread safe.
/// </summary>
internal readonly struct Chance(int seed)
{
    /// <summary>A number in 0..1 that belongs to this name and slot for good.</summary>
    public double Share(string name, long slot = 0)
    {
        // FNV-1a over the name, then the finaliser of splitmix64: string.GetHashCode differs from process to process.
        var hash = 14695981039346656037UL;
        foreach (var letter in name)
        {
            hash = (hash ^ letter) * 1099511628211UL;
        }

        var mixed = hash ^ Mix((ulong)slot + 0x9E3779B97F4A7C15UL) ^ Mix((ulong)(uint)seed);
        return (Mix(mixed) >> 11) / (double)(1UL << 53);
    }

    /// <summary>A smooth random swing in -1..1 that finds a new direction once a period.</summary>
    public double Swing(string name, DateTimeOffset at, TimeSpan period)
    {
        var slot = Math.DivRem(at.UtcTicks, period.Ticks, out var within);
        var part = within / (double)period.Ticks;
        var eased = part * part * (3 - (2 * part));
        var from = Share(name, slot);
        return (2 * (from + ((Share(name, slot + 1) - from) * eased))) - 1;
    }

    private static ulong Mix(ulong value)
    {
        value = (value ^ (value >> 30)) * 0xBF58476D1CE4E5B9UL;
        value = (value ^ (value >> 27)) * 0x94D049BB133111EBUL;
        return value ^ (value >> 31);
    }
}
