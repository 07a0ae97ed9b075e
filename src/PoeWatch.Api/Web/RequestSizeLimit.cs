using Microsoft.AspNetCore.Http.Metadata;

namespace PoeWatch.Api.Web;

/// <summary>The most bytes that a body may have.</summary>
internal sealed record RequestSizeLimit(long? MaxRequestBodySize) : IRequestSizeLimitMetadata;
