using System.Globalization;
using System.Net;
using System.Runtime;
using PoeWatch.Snmp;

namespace PoeWatch.Benchmarks.SwitchPolls;

/// <summary>
/// What polling 48-port switches costs our engine, as tests/compare-polls measures it beside the anchor: 8 columns of 48 rows and 4
/// single objects, 388 values a poll. Prints one line with processor time and allocation.
/// </summary>
internal static class SwitchPollCommand
{
    private const int Ports = 48;
    private const int ValuesExpected = (8 * Ports) + 4;

    private static readonly Oid s_milliwatts = Oid.Parse("1.3.6.1.4.1.99999.1.1.1");

    /// <summary>Arguments: SWITCHES POLLS WINDOW PORT RATE (0: as fast as it goes) COMMUNITY|v3:AUTH ADDRESS|many.</summary>
    public static async Task<int> InvokeAsync(string[] args)
    {
        if (args.Length != 7)
        {
            await Console.Error.WriteLineAsync("switch-polls SWITCHES POLLS WINDOW PORT RATE COMMUNITY|v3:AUTH ADDRESS|many");
            return 2;
        }

        int[] numbers = [.. args[..5].Select(a => int.Parse(a, CultureInfo.InvariantCulture))];
        var (switches, polls, window, port, rate) = (numbers[0], numbers[1], numbers[2], numbers[3], numbers[4]);
        SnmpCredentials credentials = Credentials(args[5]);
        SnmpTarget[] targets = [.. Enumerable.Range(0, switches).Select(i => Target(i, port, credentials, args[6]))];
        await using SnmpClient client = new(TimeProvider.System);
        PollRound round = new(new BulkWalker(client, TimeProvider.System), targets, Request(), s_milliwatts, ValuesExpected);

        await WarmUpAsync(round, switches, window, rate);
        (long compiled, TimeSpan compiling) = (JitInfo.GetCompiledMethodCount(), JitInfo.GetCompilationTime());
        PollFigures figures = await round.PollAsync(polls, window, rate);
        (compiled, compiling) = (JitInfo.GetCompiledMethodCount() - compiled, JitInfo.GetCompilationTime() - compiling);
        await Console.Out.WriteLineAsync(string.Create(
            CultureInfo.InvariantCulture,
            $"poewatch N={switches} W={window} polls={figures.Polls} fails={figures.Fails} vb/poll={figures.ValuesPerPoll:F1} requests/poll={figures.RequestsPerPoll:F2} sum={figures.Sum} wall={figures.Wall.TotalSeconds:F2}s polls/s={figures.Polls / figures.Wall.TotalSeconds:F0} cpu/1000={figures.Processor.TotalSeconds * 1000 / figures.Polls:F4}s alloc/poll={figures.AllocatedPerPoll:F0}B received={client.Statistics.Received} late={client.Statistics.Late} retries={client.Statistics.Retries} faults={client.Statistics.Faults} jit={compiled}/{compiling.TotalSeconds:F3}s rss={Environment.WorkingSet / 1048576}MB"));
        return figures.Fails == 0 && client.Statistics.Faults == 0 ? 0 : 1;
    }

    /// <summary>A community, or the user of the anchor's snmpd for v3:AUTH.</summary>
    public static SnmpCredentials Credentials(string text)
    {
        if (!text.StartsWith("v3:", StringComparison.Ordinal))
        {
            return new CommunityCredentials(text);
        }

        AuthProtocol digest = Enum.Parse<AuthProtocol>(text[3..]);
        return new UsmCredentials(digest == AuthProtocol.Sha256 ? "poller256" : "poller", digest, "authpass99", PrivacyProtocol.Aes128, "privpass99");
    }

    /// <summary>
    /// Teaches the engine each switch's sizes, and gives the compiler what a service that runs for months has long given it: its second and
    /// third look at the code, with a rest after each in which it can work, until it finds nothing more to do, or for three quarters of a minute. Paced
    /// polls go other ways through it than those as fast as it goes, so they are gone too where they are to be measured.
    /// </summary>
    private static async Task WarmUpAsync(PollRound round, int switches, int window, int rate)
    {
        int quiet = 0;
        long start = TimeProvider.System.GetTimestamp();
        while (quiet < 3 && TimeProvider.System.GetElapsedTime(start) < TimeSpan.FromSeconds(45))
        {
            long compiled = JitInfo.GetCompiledMethodCount();
            await round.PollAsync(Math.Max(1000, 2 * switches), window, rate: 0);
            if (rate > 0)
            {
                await round.PollAsync(2 * rate, window, rate);
            }

            await Task.Delay(TimeSpan.FromSeconds(1), TimeProvider.System);
            quiet = JitInfo.GetCompiledMethodCount() - compiled <= 2 ? quiet + 1 : 0;
        }
    }

    /// <summary>The agent plays one switch an address; the order is the anchor's.</summary>
    private static SnmpTarget Target(int index, int port, SnmpCredentials credentials, string address)
    {
        IPAddress ip = address == "many" ? new IPAddress([127, 16, (byte)(index / 250), (byte)((index % 250) + 1)]) : IPAddress.Parse(address);
        return new SnmpTarget(new IPEndPoint(ip, port), credentials, TimeSpan.FromSeconds(2));
    }

    /// <summary>RFC 3621: pethPsePortTable columns 6, 8, 10 to 14 and a private column; sysUpTime and pethMainPseTable 2 to 4.</summary>
    private static WalkRequest Request()
    {
        Oid table = Oid.Parse("1.3.6.1.2.1.105.1.1.1");
        Oid group = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1");
        Oid[] columns = [.. new uint[] { 6, 8, 10, 11, 12, 13, 14 }.Select(c => table.Append(c)), s_milliwatts];
        Oid[] instances = [Oid.Parse("1.3.6.1.2.1.1.3.0"), .. new uint[] { 2, 3, 4 }.Select(c => group.Append(c, 1))];
        return new WalkRequest(columns, instances);
    }
}
