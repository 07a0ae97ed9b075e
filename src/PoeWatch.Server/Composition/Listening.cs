using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.AspNetCore.Server.Kestrel.Https;
using PoeWatch.Api;
using PoeWatch.Api.Access;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Composition;

/// <summary>Turns the listen settings into what the API and the web server take, and refuses what must not be.</summary>
public static class Listening
{
    /// <exception cref="SettingsException">The address may not be listened on like this.</exception>
    public static ApiOptions Options(ListenSettings settings)
    {
        var options = new ApiOptions
        {
            ListenAddress = settings.Address,
            ListenPort = settings.Port,
            BehindTlsProxy = settings.BehindTlsProxy,
            CertificateFile = settings.CertificateFile,
            ServedNames = [.. settings.ServedNames],
            Keys = [.. settings.Keys.Select(key => new ApiKey(key.Name, RoleNames.Parse(key.Role), key.Hash))],
        };
        var refusals = ListenPolicy.Check(options);
        return refusals.IsEmpty
            ? options
            : throw new SettingsException("The service does not listen like this: " + string.Join(Environment.NewLine, refusals.Select(r => "listen." + Renamed(r))));
    }

    /// <summary>Binds the web server; nothing else may bind it.</summary>
    public static void Bind(KestrelServerOptions kestrel, ApiOptions options)
    {
        if (!ListenPolicy.TryAddress(options.ListenAddress, out IPAddress address))
        {
            throw new InvalidOperationException($"'{options.ListenAddress}' was checked and is no address.");
        }

        kestrel.AddServerHeader = false;
        kestrel.Listen(address, options.ListenPort, endpoint =>
        {
            if (options.CertificateFile is { } file)
            {
                endpoint.UseHttps(Certificate(file));
            }
        });
    }

    // The API calls its options by longer names than the settings, where they stand under 'listen'.
    private static ListenRefusal Renamed(ListenRefusal refusal) => refusal with
    {
        Setting = refusal.Setting switch
        {
            "listenAddress" => "address",
            "listenPort" => "port",
            _ => refusal.Setting,
        },
    };

    private static HttpsConnectionAdapterOptions Certificate(string file)
    {
        try
        {
            X509Certificate2 certificate = File.ReadAllText(file).Contains("-----BEGIN", StringComparison.Ordinal)
                ? X509Certificate2.CreateFromPemFile(file)
                : X509CertificateLoader.LoadPkcs12FromFile(file, null);
            return new HttpsConnectionAdapterOptions { ServerCertificate = certificate };
        }
        catch (Exception unusable) when (unusable is CryptographicException or IOException or UnauthorizedAccessException)
        {
            throw new SettingsException(
                $"listen.certificateFile: '{file}' cannot be used: {unusable.Message} Give a PEM file with certificate and key, or PKCS #12 without a password.",
                unusable);
        }
    }
}
