using System.Collections.Immutable;
using System.Net;

namespace PoeWatch.Api.Access;

/// <summary>One reason not to start: where it stands in the settings, what is written there, what is wrong and what to do.</summary>
public sealed record ListenRefusal(string Setting, string Value, string Message, string Remedy)
{
    public override string ToString() => $"{Setting}: {Message} Written: '{Value}'. {Remedy}";
}

/// <summary>
/// Decides whether the service may listen as its settings say. Loopback needs nothing; any other address needs a key and TLS, or the plain
/// statement that a proxy provides it. Pure and thread safe; all reasons are given at once.
/// </summary>
public static class ListenPolicy
{
    private const int KeysMax = 200;
    private const string KeyRemedy = "Make a key with the command 'key NAME' and write its hash under keys.";

    /// <summary>Every reason not to start; empty where the service may listen.</summary>
    public static ImmutableArray<ListenRefusal> Check(ApiOptions options)
    {
        var refusals = ImmutableArray.CreateBuilder<ListenRefusal>();
        CheckKeys(options, refusals);
        if (options.ListenPort is < 0 or > 65535)
        {
            refusals.Add(new("listenPort", $"{options.ListenPort}", "A TCP port is 0 to 65535.", "Write the port, or leave it out for 8460."));
        }

        if (!TryAddress(options.ListenAddress, out var address))
        {
            refusals.Add(new(
                "listenAddress", options.ListenAddress, "This is neither an IP address nor 'localhost'.", "Write an address such as 127.0.0.1."));
            return refusals.ToImmutable();
        }

        CheckReach(options, address, refusals);
        return refusals.ToImmutable();
    }

    /// <summary>True where only the machine itself can reach the address.</summary>
    public static bool IsLoopback(string address) => TryAddress(address, out var parsed) && IsLoopback(parsed);

    /// <summary>Reads an IP address; <c>localhost</c> is 127.0.0.1.</summary>
    public static bool TryAddress(string text, out IPAddress address)
    {
        if (string.Equals(text, "localhost", StringComparison.OrdinalIgnoreCase))
        {
            address = IPAddress.Loopback;
            return true;
        }

        // IPAddress.TryParse also reads '1' and '127.1': a typing error must not open an address that nobody meant.
        var looksWhole = text.Contains(':', StringComparison.Ordinal) || text.Count(c => c == '.') == 3;
        return IPAddress.TryParse(text, out address!) && looksWhole;
    }

    private static bool IsLoopback(IPAddress address) => IPAddress.IsLoopback(address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address);

    private static void CheckReach(ApiOptions options, IPAddress address, ImmutableArray<ListenRefusal>.Builder refusals)
    {
        var loopback = IsLoopback(address);
        if (loopback && !options.BehindTlsProxy)
        {
            return;
        }

        if (options.Keys.IsEmpty)
        {
            refusals.Add(new(
                loopback ? "behindTlsProxy" : "listenAddress",
                loopback ? "true" : options.ListenAddress,
                loopback ? "Behind a proxy others than this machine reach the service, so a key is needed."
                    : "Others than this machine reach this address, so a key is needed.",
                KeyRemedy));
        }

        if (!options.BehindTlsProxy && string.IsNullOrWhiteSpace(options.CertificateFile))
        {
            refusals.Add(new(
                "listenAddress",
                options.ListenAddress,
                "Keys would cross the network in the clear.",
                "Give certificateFile, or state behindTlsProxy: true where a proxy provides TLS, or listen on 127.0.0.1."));
        }
    }

    private static void CheckKeys(ApiOptions options, ImmutableArray<ListenRefusal>.Builder refusals)
    {
        if (options.Keys.Length > KeysMax)
        {
            refusals.Add(new("keys", $"{options.Keys.Length} keys", $"At most {KeysMax} keys are taken.", "Take out keys that nobody uses."));
        }

        var names = new HashSet<string>(StringComparer.Ordinal);
        for (var i = 0; i < options.Keys.Length; i++)
        {
            var key = options.Keys[i];
            if (!HashedKey.IsName(key.Name))
            {
                refusals.Add(new($"keys[{i}].name", key.Name, "A key's name is 1 to 64 of a-z, 0-9, '-' and '_'.", KeyRemedy));
            }
            else if (!names.Add(key.Name))
            {
                refusals.Add(new($"keys[{i}].name", key.Name, "Two keys have the same name.", "Give each holder a name of their own."));
            }

            if (key.Role == ApiRole.Unknown)
            {
                refusals.Add(new($"keys[{i}].role", "", "The role is missing or not known.", "Write reader, operator or designer."));
            }

            if (!HashedKey.IsWellFormed(key.Hash))
            {
                // The value is not repeated: somebody may have written the key itself here.
                refusals.Add(new($"keys[{i}].hash", "(not shown)", "This is not the hash of a key.", KeyRemedy));
            }
        }
    }
}
