using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Simulator;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>
/// The simulated harbour with its agents on loopback, on driven time, and the design that a service polls them by. Tells whoever waits for an answer that none
/// will come, so that waiting costs driven time only.
/// </summary>
internal sealed class YearHarbour : ICredentialSource, IDesignSource, IAsyncDisposable
{
    /// <summary>How often the agents refresh what they show.</summary>
    public static readonly TimeSpan Refresh = TimeSpan.FromMinutes(2);

    private const string CredentialName = "harbour";
    private const string DesignName = "skerry-haven-year.yaml";
    private static readonly CommunityCredentials s_community = new("skerry-haven");

    private readonly SimulatedHarbour _harbour;
    private TaskCompletionSource _unanswered = NewSignal();

    private YearHarbour(SimulatedHarbour harbour, DesignModel design, string text)
    {
        (_harbour, Design, DesignText) = (harbour, design, text);
    }

    /// <summary>As polled: with the addresses at which the agents answer.</summary>
    public DesignModel Design { get; }

    public string DesignText { get; }

    public SimulatedWorld World => _harbour.World;

    public long Answers => _harbour.Answers;

    /// <summary>The design as written, for those who make a script for it.</summary>
    public static DesignModel Written { get; } = Parse(Text());

    public static async Task<YearHarbour> StartAsync(int seed, FaultScript script, FakeTimeProvider time)
    {
        HarbourStart start = await SimulatedHarbour.StartAsync(
            Written, seed, script, new Dictionary<string, SnmpCredentials> { [CredentialName] = s_community }, time, NullLogger.Instance,
            options: new WorldOptions { RefreshPeriod = Refresh, MeterStepMilliwatts = 100 });
        SimulatedHarbour harbour = start.Harbour ?? throw new InvalidOperationException(start.Problem);
        var asked = Written.Agents.Concat(Written.UpsUnits.Where(ups => ups.Value.Agent is not null).Select(ups => KeyValuePair.Create(ups.Key, ups.Value.Agent!)));
        var text = asked.Aggregate(Text(), (sofar, agent) => sofar.Replace(
            FormattableString.Invariant($"127.0.0.1:{agent.Value.UdpPort}"),
            FormattableString.Invariant($"127.0.0.1:{harbour.EndPoints[agent.Key].Port}"),
            StringComparison.Ordinal));
        return new YearHarbour(harbour, Parse(text), text);
    }

    public SnmpCredentials? Find(string name, out string problem)
    {
        problem = name == CredentialName ? "" : $"There are no credentials '{name}'.";
        return name == CredentialName ? s_community : null;
    }

    public DesignReading Read() => new(Design, [], DesignText);

    DesignReading IDesignSource.Parse(string text, string name)
    {
        LoadedDesign read = DesignFile.ParseJoined(text, name);
        return new DesignReading(read.Result.Model, read.Result.Problems, read.JoinedText);
    }

    /// <summary>A manager's client whose datagrams reach the agents without a network.</summary>
    public SnmpClient Client(FakeTimeProvider time) => DirectPort.Client(time, _harbour.Answer, () => Volatile.Read(ref _unanswered).TrySetResult());

    /// <summary>Waits for work that asks agents; where one of them leaves it without an answer, time goes on until it gives up or asks again.</summary>
    public async Task WaitAsync(Task work, FakeTimeProvider time)
    {
        while (!work.IsCompleted)
        {
            Task unanswered = Volatile.Read(ref _unanswered).Task;
            if (await Task.WhenAny(work, unanswered) == work)
            {
                break;
            }

            Volatile.Write(ref _unanswered, NewSignal());
            await LetTimePassAsync(work, time);
        }

        await work;
    }

    public ValueTask DisposeAsync() => _harbour.DisposeAsync();

    // Each wait of a request is twice as long as the one before, so it is driven second by second until the next question is out or the work is over.
    private async Task LetTimePassAsync(Task work, FakeTimeProvider time)
    {
        for (var second = 0; second < 60 && !work.IsCompleted && !Volatile.Read(ref _unanswered).Task.IsCompleted; second++)
        {
            time.Advance(TimeSpan.FromSeconds(1));
            await Task.WhenAny(work, Volatile.Read(ref _unanswered).Task, Task.Delay(TimeSpan.FromMilliseconds(5), TimeProvider.System));
        }
    }

    private static TaskCompletionSource NewSignal() => new(TaskCreationOptions.RunContinuationsAsynchronously);

    private static string Text()
    {
        using Stream stream = typeof(YearHarbour).Assembly.GetManifestResourceStream(DesignName) ?? throw new InvalidOperationException($"'{DesignName}' is not in the build.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    private static DesignModel Parse(string text)
    {
        LoadedDesign read = DesignFile.ParseJoined(text, DesignName);
        return read.Result.Model ?? throw new InvalidOperationException(string.Join(Environment.NewLine, read.Result.Problems));
    }
}
