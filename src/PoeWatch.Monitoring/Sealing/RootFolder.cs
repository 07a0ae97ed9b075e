using System.Security.Cryptography;
using System.Security.Cryptography.Pkcs;
using System.Text;
using System.Text.Json;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>Writes each day's root to a folder of the operator's choice; a file that is there is left alone. Thread safe.</summary>
public sealed partial class RootFolder(IOptions<EvidenceOptions> options, ILogger<RootFolder> log) : IRootPublisher
{
    private static readonly JsonSerializerOptions s_json = new() { WriteIndented = true, NewLine = "\n" };

    private bool _isAway;

    /// <summary>Name of the file of a root.</summary>
    public static string FileName(SealedRoot root) => FormattableString.Invariant($"poewatch-root-{root.Day:yyyy-MM-dd}.json");

    /// <summary>The file's content: what is signed, as it is signed, and the signature.</summary>
    public static string Json(SealedRoot root) => JsonSerializer.Serialize(
        new { format = "poewatch-root-file/1", text = root.Text, keyId = root.KeyId, signature = root.Signature }, s_json) + "\n";

    public async Task<bool> TryPublishAsync(SealedRoot root, CancellationToken cancellationToken)
    {
        if (options.Value.RootFolder is not { } folder)
        {
            return true;
        }

        var path = Path.Combine(folder, FileName(root));
        try
        {
            Directory.CreateDirectory(folder);
            if (await WriteNewAsync(path, Encoding.UTF8.GetBytes(Json(root)), cancellationToken).ConfigureAwait(false))
            {
                LogWritten(path);
            }

            if (options.Value.TimestampRequests)
            {
                var request = Rfc3161TimestampRequest.CreateFromData(Encoding.UTF8.GetBytes(root.Text), HashAlgorithmName.SHA256, requestSignerCertificates: true);
                await WriteNewAsync(Path.ChangeExtension(path, ".tsq"), request.Encode(), cancellationToken).ConfigureAwait(false);
            }

            _isAway = false;
            return true;
        }
        catch (Exception failed) when (failed is IOException or UnauthorizedAccessException)
        {
            if (!_isAway)
            {
                LogAway(folder, failed.Message);
            }

            _isAway = true;
            return false;
        }
    }

    // Under another name first: whoever collects the folder never sees half a file.
    private static async Task<bool> WriteNewAsync(string path, byte[] content, CancellationToken cancellationToken)
    {
        if (File.Exists(path))
        {
            return false;
        }

        var part = path + ".part";
        await File.WriteAllBytesAsync(part, content, cancellationToken).ConfigureAwait(false);
        File.Move(part, path, overwrite: true);
        return true;
    }

    [LoggerMessage(2203, LogLevel.Information, "The day's root was written to {Path}")]
    private partial void LogWritten(string path);

    [LoggerMessage(2204, LogLevel.Error, "The day's root cannot be written to {Folder}: {Reason} It is tried again; make room or give another evidence.rootFolder.")]
    private partial void LogAway(string folder, string reason);
}
